#pragma once
/// The ensemble's memory: expected individuals of one pest in every bed and substage, members side by side in lanes.
/// Layout `[block of 16 members][bed][substage][lane]`, one `Ensemble` a pest (so [member block][pest][bed][substage][lane] as a whole).

#include <cstddef>
#include <new>
#include <span>
#include <vector>

namespace leafturn::population {

inline constexpr float tiny = 1e-30F;     ///< fewer individuals than this are none
inline constexpr std::size_t lanes = 16;  ///< members in a block; one 512-bit register of float

/// Cache-line aligned storage, so that a block of lanes never straddles a line.
template <class T>
struct LineAllocator {
  using value_type = T;
  LineAllocator() = default;
  template <class U>
  LineAllocator(const LineAllocator<U>&) {}
  T* allocate(std::size_t n) { return static_cast<T*>(::operator new(n * sizeof(T), std::align_val_t{64})); }
  void deallocate(T* p, std::size_t) { ::operator delete(p, std::align_val_t{64}); }
  bool operator==(const LineAllocator&) const { return true; }
};
using Lanes16 = std::vector<float, LineAllocator<float>>;

/// Members: a multiple of 16. Values are individuals in a bed, never negative; those below `tiny` are 0 (denormal numbers are fifty times
/// slower and mean nothing).
class Ensemble {
 public:
  Ensemble() = default;
  Ensemble(std::size_t members, std::size_t beds, std::size_t substages)
      : blocks_{members / lanes}, beds_{beds}, substages_{substages}, x_(members * beds * substages, 0.0F) {}
  std::size_t members() const { return blocks_ * lanes; }
  std::size_t blocks() const { return blocks_; }
  std::size_t beds() const { return beds_; }
  std::size_t substages() const { return substages_; }
  /// The substages of one bed in one block: `substages × 16`, lane fastest.
  std::span<float> bed(std::size_t block, std::size_t bed) { return {x_.data() + offset(block, bed), substages_ * lanes}; }
  std::span<const float> bed(std::size_t block, std::size_t bed) const { return {x_.data() + offset(block, bed), substages_ * lanes}; }

 private:
  std::size_t offset(std::size_t block, std::size_t bed) const { return (block * beds_ + bed) * substages_ * lanes; }
  std::size_t blocks_ = 0, beds_ = 0, substages_ = 0;
  Lanes16 x_;
};

}  // namespace leafturn::population
