// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/work/case_shelf.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

struct CasesState {
  std::vector<ShelfCase> shelf;  // the cases of the folder that was opened
  std::string shelf_folder;
  bool shelf_loading = false;
  std::vector<std::string> recent;  // paths, the newest first
  bool browsing = false;
  FolderListing listing;  // what the browser shows
  bool listing_loading = false;
  std::string wanted_folder;                 // to be listed next; empty: none
  std::map<std::string, std::string> typed;  // case fields while they are being typed
  bool fields_open = false;
};

}  // namespace afterscope
