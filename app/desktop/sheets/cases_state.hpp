// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/desk/case_shelf.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "app/desktop/fairly/shown_shelf.hpp"
#include "app/desktop/sheets/later_fields.hpp"
#include "app/desktop/sheets/text_field.hpp"

#include <string>
#include <vector>

namespace afterscope {

struct CasesState {
  std::vector<ShelfCase> shelf;  // the cases of the folder that was opened
  std::string shelf_folder;
  JobHandle looking;                // for them
  std::vector<std::string> recent;  // paths, the newest first
  bool browsing = false;
  FolderListing listing;  // what the browser shows
  bool listing_loading = false;
  std::string wanted_folder;  // to be listed next; empty: none
  TypedTexts typed;
  bool fields_open = false;
  bool fields_wanted = false;  // the first of them gets the keys
  std::string open_list;       // the field whose list is open; empty: none
  WordList difficulties;
  LaterWords later;
  std::vector<std::string> step_lists;  // ids of those that come with the program
  std::vector<ShownShelfCase> shown;    // the shelf as it may be seen
  bool blinded = false;                 // the folder is reviewed without names
  bool blinded_formal = false;          // of what kind those reviews are
};

}  // namespace afterscope
