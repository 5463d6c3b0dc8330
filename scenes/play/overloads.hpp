#pragma once
// One function for each type that a std::variant may hold. Given to std::visit, a type without a function of its own
// does not compile: so nobody forgets a control. None of the functions may take `auto`, which would take them all.

namespace warmbay::scenes {

template <typename... Functions>
struct Overloads : Functions... {
  using Functions::operator()...;
};
template <typename... Functions>
Overloads(Functions...) -> Overloads<Functions...>;

}  // namespace warmbay::scenes
