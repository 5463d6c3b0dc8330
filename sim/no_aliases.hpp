#pragma once

/// Before a loop: its passes do not depend on each other, whatever its pointers may look like to the compiler.
#if defined(__clang__)
#define WARMBAY_NO_ALIASES _Pragma("clang loop vectorize(assume_safety)")
#else
#define WARMBAY_NO_ALIASES _Pragma("GCC ivdep")
#endif
