#pragma once
// The order of accuracy that a row of refinements shows. Orders are asserted two-sided: an order above the claimed one
// is as suspect as one below it (a lucky cancellation, or an error measured where it vanishes).

#include <span>

namespace warmbay::tests {

/// Least-squares slope of log|error| against log(size). sizes: voxel edges or steps, any unit, all unlike (n >= 2);
/// errors: against an exact solution (n), none of them 0.
[[nodiscard]] double order_from_errors(std::span<const double> sizes, std::span<const double> errors);

/// Order from three results on grids refined by the same ratio, coarse to fine, when no exact solution is known:
/// ln((f0 - f1) / (f1 - f2)) / ln(ratio). NaN when the three do not approach a limit from one side.
[[nodiscard]] double order_from_three(double coarse, double middle, double fine, double ratio);

/// The limit those three results run to (Richardson), given the order.
[[nodiscard]] double extrapolated(double middle, double fine, double ratio, double order);

}  // namespace warmbay::tests
