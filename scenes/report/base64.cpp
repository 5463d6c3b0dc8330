#include "scenes/report/base64.hpp"

namespace warmbay::scenes {

std::string base64(std::string_view bytes) {
  static constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t have = bytes.size() - i < 3 ? bytes.size() - i : 3;
    unsigned group = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const unsigned byte = k < have ? static_cast<unsigned char>(bytes[i + k]) : 0U;
      group = (group << 8U) | byte;
    }
    for (std::size_t k = 0; k < 4; ++k) text += k <= have ? digits[(group >> (18U - 6U * k)) & 63U] : '=';
  }
  return text;
}

}  // namespace warmbay::scenes
