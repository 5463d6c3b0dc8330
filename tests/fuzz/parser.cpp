// The TOML parser as the fuzzers are compiled: the system's shared library counts no branches for a fuzzer and calls no
// sanitizer. What a program defines itself goes before what a shared library defines.

#define TOML_HEADER_ONLY 0
#define TOML_SHARED_LIB 1
#define TOML_IMPLEMENTATION
#include <toml++/toml.h>
