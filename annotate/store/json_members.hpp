// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/json_reader.hpp"

#include <type_traits>
#include <utility>

namespace afterscope {

// The members of a type in files are listed once, by a function
//   template <class Item, class Each> void EachMember(Like<Type, Item>& item, Each&& each)
// that calls `each(name, member)` in the order of the file; it serves for writing and for reading.
template <class Item, class Type>
concept Like = std::is_same_v<std::remove_const_t<Item>, Type>;

inline Json JsonFrom(Pts at) { return at.ticks; }
inline Json JsonFrom(const std::vector<PointPx>& points) {
  Json list = Json::array();
  for (const PointPx point : points) list.push_back(Json::array({point.x, point.y}));
  return list;
}
template <class Plain>
requires std::is_constructible_v<Json, const Plain&> &&(!std::is_enum_v<Plain>)Json
    JsonFrom(const Plain& value) {
  return Json(value);
}

template <class Item>
Json MembersJson(const Item& item) {
  Json json = Json::object();
  EachMember(item, [&](const char* name, const auto& member) { json[name] = JsonFrom(member); });
  return json;
}

template <class Item>
void ReadMembers(JsonReader& reader, Item& item) {
  EachMember(item, [&](const char* name, auto& member) { reader.Read(name, member); });
}

// One item whose members are all listed; `what` names it in the sentence of a problem.
template <class Item>
void ReadMembersOf(const Json& json, const char* what, Item& item, std::string& problem) {
  JsonReader reader(json, what, problem);
  ReadMembers(reader, item);
}

// A list of items, each by its own JsonFrom.
template <class Item>
Json ListFrom(const std::vector<Item>& items) {
  Json list = Json::array();
  for (const Item& item : items) list.push_back(JsonFrom(item));
  return list;
}

}  // namespace afterscope
