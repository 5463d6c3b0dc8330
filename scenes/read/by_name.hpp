#pragma once
// Finding one of several things by its name. Names are compared as they are written.

#include <algorithm>
#include <iterator>
#include <string_view>

namespace warmbay::scenes {

/// The name of a thing that has one.
struct NameOf {
  template <typename Thing>
  [[nodiscard]] std::string_view operator()(const Thing& thing) const {
    return thing.name;
  }
};

/// Index of the first of `things` (a vector) called `name`, or -1. name_of: gives the name of one.
template <typename Things, typename Name = NameOf>
[[nodiscard]] int index_by_name(const Things& things, std::string_view name, Name name_of = {}) {
  const auto found = std::find_if(things.begin(), things.end(), [&](const auto& one) { return name_of(one) == name; });
  return found == things.end() ? -1 : static_cast<int>(std::distance(things.begin(), found));
}

/// That thing itself, or nullptr.
template <typename Things, typename Name = NameOf>
[[nodiscard]] const typename Things::value_type* find_by_name(const Things& things, std::string_view name,
                                                              Name name_of = {}) {
  const int index = index_by_name(things, name, name_of);
  return index < 0 ? nullptr : &things[static_cast<std::size_t>(index)];
}

}  // namespace warmbay::scenes
