#pragma once
// One flat, aligned array of floats per quantity (sim/layout.hpp says where a voxel lies in it).

#include <cstddef>
#include <new>
#include <vector>

namespace warmbay::sim {

template <class T>
struct CacheLineAllocator {
  using value_type = T;
  static constexpr std::align_val_t alignment{64};
  CacheLineAllocator() = default;
  template <class U>
  CacheLineAllocator(const CacheLineAllocator<U>&) {}  // NOLINT: allocators convert
  T* allocate(std::size_t n) { return static_cast<T*>(::operator new(n * sizeof(T), alignment)); }
  void deallocate(T* p, std::size_t) { ::operator delete(p, alignment); }
  friend bool operator==(const CacheLineAllocator&, const CacheLineAllocator&) { return true; }
};

using Field = std::vector<float, CacheLineAllocator<float>>;

}  // namespace warmbay::sim
