#pragma once
// Temperatures of one moment as a texture that the heat's context writes and the drawing's context reads, both on one
// card: nothing crosses over to the host.
//
// A texture is never written while anyone holds it. Once nobody does, its pool gives it out again; the heat waits then
// for the drawing's fence, which stands behind the last command that read it.

#include <array>
#include <memory>
#include <mutex>
#include <vector>

#include "sim/heat_engine.hpp"

namespace warmbay::render::card {

class FieldPool;

class SharedField : public sim::SharedField {
 public:
  SharedField(std::shared_ptr<FieldPool> pool, std::array<int, 3> size, unsigned texture)
      : pool_(std::move(pool)), size_(size), texture_(texture) {}
  ~SharedField() override;
  SharedField(const SharedField&) = delete;
  SharedField& operator=(const SharedField&) = delete;

  /// 3-D, R32F, K, one texel a voxel, sampled linearly. Complete when it is handed over; bind it before every use.
  [[nodiscard]] unsigned texture() const { return texture_; }
  /// On the one thread that draws, after the commands that read it.
  void drawn() const;

 private:
  std::shared_ptr<FieldPool> pool_;
  std::array<int, 3> size_;
  unsigned texture_;
  mutable void* read_ = nullptr;  // the drawing's fence
};

/// The textures of all engines that share objects with one drawing: at most as many as are held at a time, and one.
/// Freed with the contexts.
class FieldPool : public std::enable_shared_from_this<FieldPool> {
 public:
  /// A texture that nobody reads any more, its content undefined. On the heat's thread.
  [[nodiscard]] std::shared_ptr<const SharedField> take(const std::array<int, 3>& size);

 private:
  friend class SharedField;
  struct Spare {
    std::array<int, 3> size;
    unsigned texture;
    void* read;
  };
  void give_back(const Spare& spare);

  std::mutex mutex_;
  std::vector<Spare> spares_;
};

}  // namespace warmbay::render::card
