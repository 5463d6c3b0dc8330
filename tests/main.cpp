// The main() of every test program: the framework's, but a run of which something was skipped says so in its status.

#define CATCH_CONFIG_RUNNER
#include "tests/support/skip.hpp"
#include "tests/tests_pch.hpp"

namespace {

int skipped = 0;

}  // namespace

namespace warmbay::tests {

void skip(const std::string& why) {
  ++skipped;
  WARN("skipped: " << why);
}

}  // namespace warmbay::tests

int main(int count, char** arguments) {
  const int failed = Catch::Session().run(count, arguments);
  // The framework's status is how many checks failed: it may not be taken for the one that stands for "skipped".
  if (failed != 0) return 1;
  return skipped > 0 ? warmbay::tests::exit_skipped : 0;
}
