// Source: the manual page mallopt(3): setting M_MMAP_THRESHOLD turns its dynamic adjustment off. The 0.1 ms are from
// memory.

#include "render/big_arrays.hpp"

#include <cstdlib>  // defines __GLIBC__ where it is so

#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace warmbay::render {

void give_big_arrays_back() {
#ifdef __GLIBC__
  constexpr int from_bytes = 1 << 20;
  mallopt(M_MMAP_THRESHOLD, from_bytes);
#endif
}

}  // namespace warmbay::render
