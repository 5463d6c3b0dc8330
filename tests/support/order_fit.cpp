#include "tests/support/order_fit.hpp"

#include <cmath>
#include <cstddef>

namespace warmbay::tests {

double order_from_errors(std::span<const double> sizes, std::span<const double> errors) {
  const double n = static_cast<double>(sizes.size());
  double mean_x = 0.0, mean_y = 0.0;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    mean_x += std::log(sizes[i]) / n;
    mean_y += std::log(std::abs(errors[i])) / n;
  }
  double above = 0.0, below = 0.0;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    const double dx = std::log(sizes[i]) - mean_x;
    above += dx * (std::log(std::abs(errors[i])) - mean_y);
    below += dx * dx;
  }
  return above / below;
}

double order_from_three(double coarse, double middle, double fine, double ratio) {
  return std::log((coarse - middle) / (middle - fine)) / std::log(ratio);
}

double extrapolated(double middle, double fine, double ratio, double order) {
  return fine + (fine - middle) / (std::pow(ratio, order) - 1.0);
}

}  // namespace warmbay::tests
