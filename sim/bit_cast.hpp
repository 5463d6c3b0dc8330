#pragma once
// std::bit_cast, also where the standard library has none yet (libc++ 13, with which pages are built).

#include <bit>
#include <cstring>
#include <type_traits>

namespace warmbay::sim {

#if defined(__cpp_lib_bit_cast)
using std::bit_cast;
#else
template <class To, class From>
[[nodiscard]] To bit_cast(const From& from) noexcept {
  static_assert(sizeof(To) == sizeof(From) && std::is_trivially_copyable_v<To> && std::is_trivially_copyable_v<From>);
  To to;
  std::memcpy(&to, &from, sizeof to);
  return to;
}
#endif

}  // namespace warmbay::sim
