#pragma once
/// A long list whose copies share what they have in common: copying and slicing cost nothing, appending costs no more than to a vector,
/// and an insertion copies one piece of the list. Readers keep their copy while the writer goes on with its own.
///
/// A copy may be read by another thread while the list it came from is changed; one list is changed by one thread at a time.

#include <algorithm>
#include <cstddef>
#include <initializer_list>
#include <iterator>
#include <memory>
#include <utility>
#include <vector>

namespace leafturn {

template <class T>
class SharedList {
  static constexpr std::size_t piece = 256;
  struct Table {
    std::vector<std::shared_ptr<T[]>> pieces;
    std::vector<std::size_t> starts;  ///< index of each piece's first item; the last piece's end is only known to its lists
    std::size_t at(std::size_t index) const {
      return static_cast<std::size_t>(std::upper_bound(starts.begin(), starts.end(), index) - starts.begin()) - 1;
    }
  };

 public:
  using value_type = T;

  class const_iterator {
   public:
    using iterator_category = std::random_access_iterator_tag;
    using value_type = T;
    using difference_type = std::ptrdiff_t;
    using pointer = const T*;
    using reference = const T&;

    const_iterator() = default;
    reference operator*() const { return *item_; }
    pointer operator->() const { return item_; }
    reference operator[](difference_type n) const { return *(*this + n); }
    const_iterator& operator++() {
      ++index_;
      if (index_ == end_)
        seek();
      else
        ++item_;
      return *this;
    }
    const_iterator& operator--() { return *this -= 1; }
    const_iterator operator++(int) { return std::exchange(*this, *this + 1); }
    const_iterator operator--(int) { return std::exchange(*this, *this - 1); }
    const_iterator& operator+=(difference_type n) {
      index_ = static_cast<std::size_t>(static_cast<difference_type>(index_) + n);
      seek();
      return *this;
    }
    const_iterator& operator-=(difference_type n) { return *this += -n; }
    friend const_iterator operator+(const_iterator it, difference_type n) { return it += n; }
    friend const_iterator operator+(difference_type n, const_iterator it) { return it += n; }
    friend const_iterator operator-(const_iterator it, difference_type n) { return it -= n; }
    friend difference_type operator-(const const_iterator& a, const const_iterator& b) {
      return static_cast<difference_type>(a.index_) - static_cast<difference_type>(b.index_);
    }
    friend bool operator==(const const_iterator& a, const const_iterator& b) { return a.index_ == b.index_; }
    friend auto operator<=>(const const_iterator& a, const const_iterator& b) { return a.index_ <=> b.index_; }

   private:
    friend class SharedList;
    const_iterator(const Table* table, std::size_t index) : table_{table}, index_{index} { seek(); }
    void seek() {
      if (table_ == nullptr || table_->pieces.empty()) return;
      const std::size_t at = table_->at(index_);
      end_ = at + 1 < table_->starts.size() ? table_->starts[at + 1] : static_cast<std::size_t>(-1);
      item_ = table_->pieces[at].get() + (index_ - table_->starts[at]);
    }
    const Table* table_ = nullptr;
    std::size_t index_ = 0;  ///< in the table
    std::size_t end_ = static_cast<std::size_t>(-1);
    const T* item_ = nullptr;
  };
  using iterator = const_iterator;
  using const_reverse_iterator = std::reverse_iterator<const_iterator>;

  SharedList() = default;
  SharedList(std::initializer_list<T> items) {
    for (const T& item : items) push_back(item);
  }
  explicit SharedList(std::vector<T> items) {
    for (T& item : items) push_back(std::move(item));
  }
  SharedList(const SharedList& other) : table_{other.table_}, from_{other.from_}, to_{other.to_} {}
  SharedList(SharedList&& other) noexcept { swap(other); }
  SharedList& operator=(SharedList other) noexcept {
    swap(other);
    return *this;
  }
  ~SharedList() = default;
  void swap(SharedList& other) noexcept {
    std::swap(table_, other.table_);
    std::swap(from_, other.from_);
    std::swap(to_, other.to_);
    std::swap(owns_tail_, other.owns_tail_);
  }

  std::size_t size() const { return to_ - from_; }
  bool empty() const { return to_ == from_; }
  const T& operator[](std::size_t index) const { return *const_iterator(table_.get(), from_ + index); }
  const T& front() const { return (*this)[0]; }
  const T& back() const { return (*this)[size() - 1]; }
  const_iterator begin() const { return {table_.get(), from_}; }
  const_iterator end() const { return {table_.get(), to_}; }
  const_reverse_iterator rbegin() const { return const_reverse_iterator(end()); }
  const_reverse_iterator rend() const { return const_reverse_iterator(begin()); }

  /// Items `from` to before `to`, shared.
  SharedList slice(std::size_t from, std::size_t to) const {
    SharedList out;
    out.table_ = table_;
    out.from_ = from_ + from;
    out.to_ = from_ + to;
    return out;
  }
  void clear() { *this = SharedList{}; }

  void push_back(T item) {
    if (!owns_tail_ || to_ - table_->starts.back() == piece) own_tail();
    table_->pieces.back().get()[to_ - table_->starts.back()] = std::move(item);
    ++to_;
  }
  void insert(std::size_t index, T item) {
    if (index == size()) return push_back(std::move(item));
    rewrite(index,
            [&](std::vector<T>& items, std::size_t at) { items.insert(items.begin() + static_cast<std::ptrdiff_t>(at), std::move(item)); });
    ++to_;
  }
  void erase(std::size_t index) {
    rewrite(index, [](std::vector<T>& items, std::size_t at) { items.erase(items.begin() + static_cast<std::ptrdiff_t>(at)); });
    --to_;
  }
  void replace(std::size_t index, T item) {
    rewrite(index, [&](std::vector<T>& items, std::size_t at) { items[at] = std::move(item); });
  }

 private:
  static std::shared_ptr<T[]> room() { return std::shared_ptr<T[]>(new T[piece]); }

  /// A last piece of our own with room: a fresh one, or our copy of one that others see too.
  void own_tail() {
    auto mine = std::make_shared<Table>();
    if (to_ == 0 || table_ == nullptr) {
      mine->pieces.push_back(room());
      mine->starts.push_back(0);
    } else {
      const std::size_t last = table_->at(to_ - 1);
      const std::size_t start = table_->starts[last];
      const auto pieces = static_cast<std::ptrdiff_t>(last) + 1;
      mine->pieces.assign(table_->pieces.begin(), table_->pieces.begin() + pieces);
      mine->starts.assign(table_->starts.begin(), table_->starts.begin() + pieces);
      if (to_ - start >= piece) {
        mine->pieces.push_back(room());
        mine->starts.push_back(to_);
      } else {
        mine->pieces.back() = room();
        std::copy(table_->pieces[last].get(), table_->pieces[last].get() + (to_ - start), mine->pieces.back().get());
      }
    }
    table_ = std::move(mine);
    owns_tail_ = true;
  }

  /// Changes the piece that holds an item, as a copy; a piece grown too long becomes two.
  template <class Change>
  void rewrite(std::size_t index, const Change& change) {
    const std::size_t at = table_->at(from_ + index);
    const std::size_t start = table_->starts[at];
    const bool tail = at + 1 == table_->starts.size() || table_->starts[at + 1] >= to_;
    const std::size_t old_size = (tail ? to_ : table_->starts[at + 1]) - start;
    std::vector<T> items(table_->pieces[at].get(), table_->pieces[at].get() + old_size);
    change(items, from_ + index - start);

    auto mine = std::make_shared<Table>();
    const auto before = static_cast<std::ptrdiff_t>(at);
    mine->pieces.assign(table_->pieces.begin(), table_->pieces.begin() + before);
    mine->starts.assign(table_->starts.begin(), table_->starts.begin() + before);
    const std::size_t half = items.size() > piece ? items.size() / 2 : items.size();
    for (std::size_t from = 0; from < items.size(); from += half) {
      const std::size_t to = items.size() - from < half + half / 2 ? items.size() : from + half;
      mine->pieces.push_back(room());
      mine->starts.push_back(start + from);
      std::move(items.begin() + static_cast<std::ptrdiff_t>(from), items.begin() + static_cast<std::ptrdiff_t>(to),
                mine->pieces.back().get());
      if (to == items.size()) break;
    }
    if (tail) {
      owns_tail_ = !items.empty();
    } else {
      for (std::size_t i = at + 1; i < table_->pieces.size() && table_->starts[i] < to_; ++i) {
        mine->pieces.push_back(table_->pieces[i]);
        mine->starts.push_back(table_->starts[i] + items.size() - old_size);
      }
    }
    table_ = std::move(mine);
  }

  std::shared_ptr<Table> table_;  ///< shared with copies, so never changed except for room in a tail of our own
  std::size_t from_ = 0, to_ = 0;
  bool owns_tail_ = false;  ///< the last piece was made by this list, and only this list writes behind what its copies see
};

template <class T, class Which>
std::size_t erase_if(SharedList<T>& list, const Which& which) {
  std::vector<T> kept;
  for (const T& item : list)
    if (!which(item)) kept.push_back(item);
  const std::size_t gone = list.size() - kept.size();
  if (gone > 0) list = SharedList<T>(std::move(kept));
  return gone;
}

}  // namespace leafturn
