// The fuzzer's end of one kind of input: a rule that does not hold ends the program, so that the fuzzer keeps the
// bytes.

#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "tests/fuzz/inputs.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
  const auto* const input = warmbay::fuzz::input(WARMBAY_FUZZ_INPUT);
  if (input == nullptr) std::abort();
  const std::string broken = input->broken({reinterpret_cast<const char*>(bytes), count});
  if (broken.empty()) return 0;
  std::fprintf(stderr, "broken rule: %s\n", broken.c_str());
  std::abort();
}
