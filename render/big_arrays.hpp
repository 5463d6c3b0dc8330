#pragma once
// What the C library does with the memory of big arrays that are let go.

namespace warmbay::render {

/// Walls and snapshots come and go on several threads. Left alone, glibc raises the size from which it maps an array by
/// itself to that of the largest one let go (up to 32 MB), and from then on keeps such arrays between others in its
/// heaps, one a thread: ten minutes of changed walls cost more memory than any one of them. Held at 1 MiB, what is let
/// go goes back at once; an array of that size pays for its page faults with some 0.1 ms. Does nothing elsewhere.
void give_big_arrays_back();

}  // namespace warmbay::render
