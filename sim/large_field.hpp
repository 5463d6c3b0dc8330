#pragma once
// Arrays of a whole wall that are made anew for every settled field: in large pages where the system has them.
//
// The first touch of a page of 4 KiB can cost microseconds; taken together as much time as the solve itself.

#include <cstddef>
#include <new>
#include <vector>

#ifdef __linux__
#include <sys/mman.h>
#endif

namespace warmbay::sim {

template <class T>
struct LargePageAllocator {
  using value_type = T;
  LargePageAllocator() = default;
  template <class U>
  LargePageAllocator(const LargePageAllocator<U>&) {}  // NOLINT: allocators convert

  static constexpr std::size_t page = 2U << 20U;  // of x86-64 and many other machines
#ifdef __linux__
  static bool large(std::size_t n) {
    return n * sizeof(T) >= page / 2;
  }
#else
  static bool large(std::size_t) {
    return false;
  }
#endif
  static std::align_val_t alignment(std::size_t n) {
    return std::align_val_t{large(n) ? page : 64};
  }
  static std::size_t bytes(std::size_t n) {
    return large(n) ? (n * sizeof(T) + page - 1) / page * page : n * sizeof(T);
  }

  T* allocate(std::size_t n) {
    void* const p = ::operator new(bytes(n), alignment(n));
#ifdef __linux__
    if (large(n)) static_cast<void>(madvise(p, bytes(n), MADV_HUGEPAGE));  // where refused, small pages do, too
#endif
    return static_cast<T*>(p);
  }
  void deallocate(T* p, std::size_t n) {
    ::operator delete(p, alignment(n));
  }
  template <class U>
  friend bool operator==(const LargePageAllocator&, const LargePageAllocator<U>&) {
    return true;
  }
};

template <class T>
using LargeVector = std::vector<T, LargePageAllocator<T>>;
using LargeField = LargeVector<float>;

}  // namespace warmbay::sim
