// In two dimensions a diffuse face sends as much into every equal step of the sine of the angle to its normal.

#include "tests/standards/air_enclosure.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

namespace warmbay::tests {
namespace {

struct Ray {
  double y, z, dy, dz;
};

constexpr double never = std::numeric_limits<double>::infinity();

/// How far along a ray a face lies, or never.
double reach(const Ray& ray, const SectionFace& face) {
  const double toward = ray.dy * face.ny + ray.dz * face.nz;
  if (toward >= -1e-12) return never;  // from behind, or alongside
  const double far = ((face.y0_m - ray.y) * face.ny + (face.z0_m - ray.z) * face.nz) / toward;
  if (far < 1e-9) return never;
  const double y = ray.y + far * ray.dy, z = ray.z + far * ray.dz;
  const bool on = face.ny != 0 ? z >= std::min(face.z0_m, face.z1_m) && z < std::max(face.z0_m, face.z1_m)
                               : y >= std::min(face.y0_m, face.y1_m) && y < std::max(face.y0_m, face.y1_m);
  return on ? far : never;
}

/// Whether a ray meets the cable: its distance from the line between the centres of the round ends falls below the
/// radius.
double reach(const Ray& ray, const SectionCable& cable) {
  if (cable.width_m <= 0.0) return never;
  const double radius_m = 0.5 * cable.thickness_m, end_m = 0.5 * (cable.width_m - cable.thickness_m);
  double nearest = never;
  for (const double centre_m : {-end_m, end_m}) {
    const double y = ray.y - cable.y_m - centre_m, z = ray.z - cable.z_m;
    const double along = -(y * ray.dy + z * ray.dz), apart2 = y * y + z * z - along * along;
    if (along > 0.0 && apart2 < radius_m * radius_m)
      nearest = std::min(nearest, along - std::sqrt(radius_m * radius_m - apart2));
  }
  for (const double side_m : {-radius_m, radius_m}) {
    const double far = ray.dz != 0.0 ? (cable.z_m + side_m - ray.z) / ray.dz : -1.0;
    if (far > 0.0 && std::abs(ray.y + far * ray.dy - cable.y_m) <= end_m) nearest = std::min(nearest, far);
  }
  return nearest;
}

double length_m(const SectionFace& face) {
  return std::hypot(face.y1_m - face.y0_m, face.z1_m - face.z0_m);
}

/// Share of what each face sends out that comes to each other surface; the cable's own row by reciprocity.
Eigen::MatrixXd seen(const std::vector<SectionFace>& faces, const SectionCable& cable, const Eigen::VectorXd& size_m) {
  constexpr int points = 12, sines = 400;
  const auto n = static_cast<Eigen::Index>(faces.size());
  Eigen::MatrixXd share = Eigen::MatrixXd::Zero(size_m.size(), size_m.size());
  for (Eigen::Index i = 0; i < n; ++i) {
    const SectionFace& from = faces[static_cast<std::size_t>(i)];
    for (int p = 0; p < points; ++p)
      for (int q = 0; q < sines; ++q) {
        const double place = (p + 0.5) / points, sine = -1.0 + (q + 0.5) * 2.0 / sines,
                     cosine = std::sqrt(1 - sine * sine);
        const Ray ray{from.y0_m + place * (from.y1_m - from.y0_m), from.z0_m + place * (from.z1_m - from.z0_m),
                      cosine * from.ny - sine * from.nz, cosine * from.nz + sine * from.ny};
        double nearest = reach(ray, cable);
        Eigen::Index hit = nearest < never ? n : -1;
        for (Eigen::Index j = 0; j < n; ++j) {
          const double far = reach(ray, faces[static_cast<std::size_t>(j)]);
          if (far < nearest) nearest = far, hit = j;
        }
        if (hit < 0) throw std::invalid_argument("an air space that is not closed");
        share(i, hit) += 1.0 / (points * sines);
      }
  }
  if (cable.width_m > 0.0) {
    for (Eigen::Index j = 0; j < n; ++j) share(n, j) = size_m[j] * share(j, n) / size_m[n];
    const double sum = share.row(n).sum();
    if (std::abs(sum - 1.0) > 0.01) throw std::runtime_error("the rays lose the cable");
    share.row(n) /= sum;
  }
  return share;
}

}  // namespace

double SectionCable::outline_m() const {
  return std::numbers::pi * thickness_m + 2.0 * (width_m - thickness_m);
}

Eigen::MatrixXd exchange_m(const std::vector<SectionFace>& faces, const SectionCable& cable) {
  const bool has_cable = cable.width_m > 0.0;
  const auto n = static_cast<Eigen::Index>(faces.size() + has_cable);
  Eigen::VectorXd size_m(n), emissivity(n);
  for (std::size_t f = 0; f < faces.size(); ++f) {
    size_m[static_cast<Eigen::Index>(f)] = length_m(faces[f]);
    emissivity[static_cast<Eigen::Index>(f)] = faces[f].emissivity;
  }
  if (has_cable) size_m[n - 1] = cable.outline_m(), emissivity[n - 1] = cable.emissivity;
  const Eigen::MatrixXd share = seen(faces, cable, size_m);
  // Absorbed by j of what i emits: B = F e + F (1 - e) B.
  const Eigen::VectorXd reflected = Eigen::VectorXd::Ones(n) - emissivity;
  const Eigen::MatrixXd left = Eigen::MatrixXd::Identity(n, n) - share * reflected.asDiagonal();
  const Eigen::MatrixXd absorbed = left.partialPivLu().solve(share * emissivity.asDiagonal());
  const Eigen::MatrixXd exchange = size_m.cwiseProduct(emissivity).asDiagonal() * absorbed;
  return 0.5 * (exchange + exchange.transpose());
}

namespace {

struct Air {
  double w_mk, nu_m2_s, prandtl;
};

Air tabled_air(double t_k) {
  constexpr double rows[][4] = {{250.0, 22.3e-3, 11.44e-6, 0.720},
                                {300.0, 26.3e-3, 15.89e-6, 0.707},
                                {350.0, 30.0e-3, 20.92e-6, 0.700},
                                {400.0, 33.8e-3, 26.41e-6, 0.690},
                                {450.0, 37.3e-3, 32.39e-6, 0.686}};
  int n = 0;
  while (n < 3 && t_k > rows[n + 1][0]) ++n;
  const double part = (t_k - rows[n][0]) / 50.0;
  const auto at = [&](int column) { return rows[n][column] + part * (rows[n + 1][column] - rows[n][column]); };
  return {at(1), at(2), at(3)};
}

double tabled_rayleigh(double warm_k, double cold_k, double length) {
  const double mean_k = 0.5 * (warm_k + cold_k);
  const Air air = tabled_air(mean_k);
  return 9.80665 / mean_k * std::abs(warm_k - cold_k) * std::pow(length, 3) * air.prandtl / (air.nu_m2_s * air.nu_m2_s);
}

}  // namespace

double tabled_air_w_mk(double temperature_k) {
  return tabled_air(temperature_k).w_mk;
}

double upright_layer_nusselt(double warm_k, double cold_k, double thickness_m, double height_m) {
  const double ra = tabled_rayleigh(warm_k, cold_k, thickness_m);
  if (ra <= 0.0) return 1.0;
  const double steep = 0.104 * std::pow(ra, 0.293) / (1.0 + std::pow(6310.0 / ra, 1.36));
  return std::max({0.0605 * std::cbrt(ra), std::cbrt(1.0 + steep * steep * steep),
                   0.242 * std::pow(ra * thickness_m / height_m, 0.272)});
}

double ring_nusselt(double warm_k, double cold_k, double inner_m, double outer_m) {
  const double ri = 0.5 * inner_m, ro = 0.5 * outer_m;
  const double size_m =
      2.0 * std::pow(std::log(ro / ri), 4.0 / 3.0) / std::pow(std::pow(ri, -0.6) + std::pow(ro, -0.6), 5.0 / 3.0);
  const double pr = tabled_air(0.5 * (warm_k + cold_k)).prandtl;
  return std::max(1.0, 0.386 * std::pow(pr / (0.861 + pr) * tabled_rayleigh(warm_k, cold_k, size_m), 0.25));
}

}  // namespace warmbay::tests
