#include "core/pest/dossier.hpp"

#include <algorithm>

namespace leafturn::pest {
namespace {

// One spelling for what people write: lower case, words joined by single hyphens.
std::string plain(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == ' ' || c == '_' || c == '-' || c == '\t') {
      if (!out.empty() && out.back() != '-') out += '-';
    } else {
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
  }
  if (!out.empty() && out.back() == '-') out.pop_back();
  return out;
}

bool one_of(std::string_view word, std::initializer_list<std::string_view> words) {
  for (const auto w : words)
    if (w == word) return true;
  return false;
}

std::vector<std::size_t> of_group(const Dossier& dossier, StageGroup group) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < dossier.stages.size(); ++i)
    if (dossier.stages[i].group == group) out.push_back(i);
  return out;
}

// The instars, in order: nymphs of bugs, larvae of beetles and moths.
std::vector<std::size_t> instars(const Dossier& dossier) {
  auto out = of_group(dossier, StageGroup::larva);
  return out.empty() ? of_group(dossier, StageGroup::nymph) : out;
}

std::optional<StageGroup> group_word(std::string_view word, std::string_view order) {
  if (one_of(word, {"egg", "eggs", "ova", "ovum"})) return StageGroup::egg;
  if (one_of(word, {"nymph", "nymphs"})) return StageGroup::nymph;
  if (one_of(word, {"larva", "larvae", "larvas", "grub", "grubs"})) return StageGroup::larva;
  if (order == "Lepidoptera" && one_of(word, {"caterpillar", "caterpillars", "worm", "worms"})) return StageGroup::larva;
  if (order == "Diptera" && one_of(word, {"maggot", "maggots"})) return StageGroup::larva;
  if (one_of(word, {"pupa", "pupae", "pupas", "chrysalis", "chrysalises", "cocoon", "cocoons"})) return StageGroup::pupa;
  if (one_of(word, {"adult", "adults", "imago", "imagos"})) return StageGroup::adult;
  if (order == "Coleoptera" && one_of(word, {"beetle", "beetles"})) return StageGroup::adult;
  if (order == "Lepidoptera" && one_of(word, {"butterfly", "butterflies", "moth", "moths"})) return StageGroup::adult;
  if (order == "Hemiptera" && one_of(word, {"bug", "bugs"})) return StageGroup::adult;
  return std::nullopt;
}

// `L3`, `larva3`, `larva-3`, `nymph 3`, `instar-3`, `3rd-instar`, `third-instar-larvae`: which instar, and of what.
struct InstarWord {
  std::size_t number = 0;
  std::string rest;
};

std::optional<InstarWord> instar_word(const std::string& word) {
  static constexpr std::string_view ordinals[] = {"first", "second", "third", "fourth", "fifth", "sixth"};
  for (std::size_t i = 0; i < std::size(ordinals); ++i)
    if (word.starts_with(ordinals[i]) && word.size() > ordinals[i].size() && word[ordinals[i].size()] == '-')
      return InstarWord{i + 1, word.substr(ordinals[i].size() + 1)};
  const auto at = word.find_first_of("123456789");
  if (at == std::string::npos || word.find_first_of("0123456789", at + 1) != std::string::npos) return std::nullopt;
  InstarWord out{static_cast<std::size_t>(word[at] - '0'), word.substr(0, at)};
  std::string after = word.substr(at + 1);
  for (const std::string_view ending : {"st", "nd", "rd", "th"})
    if (out.rest.empty() && after.starts_with(ending)) {
      after.erase(0, 2);
      break;
    }
  if (out.rest.ends_with('-')) out.rest.pop_back();
  if (after.starts_with('-')) after.erase(0, 1);
  if (!out.rest.empty() && !after.empty()) out.rest += '-';
  out.rest += after;
  return out;
}

std::vector<std::size_t> numbered(const Dossier& dossier, const std::string& word) {
  const auto parsed = instar_word(word);
  if (!parsed) return {};
  std::vector<std::size_t> from;
  if (one_of(parsed->rest, {"instar", "instars"})) from = instars(dossier);
  if (one_of(parsed->rest, {"l", "larva", "larvae", "instar-larva", "instar-larvae", "larval-instar", "caterpillar", "caterpillars"}))
    from = of_group(dossier, StageGroup::larva);
  if (one_of(parsed->rest, {"n", "nymph", "nymphs", "instar-nymph", "instar-nymphs", "nymphal-instar"}))
    from = of_group(dossier, StageGroup::nymph);
  if (parsed->number < 1 || parsed->number > from.size()) return {};
  return {from[parsed->number - 1]};
}

// `small-larvae`: all but the last two instars; `large-larvae`: the last two.
std::vector<std::size_t> sized(const Dossier& dossier, const std::string& word) {
  const auto cut = word.find('-');
  if (cut == std::string::npos) return {};
  const std::string size = word.substr(0, cut);
  const bool small = one_of(size, {"small", "young", "early"});
  if (!small && !one_of(size, {"large", "big", "old", "late"})) return {};
  const std::string rest = word.substr(cut + 1);
  std::vector<std::size_t> from;
  if (one_of(rest, {"instar", "instars"})) {
    from = instars(dossier);
  } else if (const auto group = group_word(rest, dossier.order); group && (*group == StageGroup::larva || *group == StageGroup::nymph)) {
    from = of_group(dossier, *group);
  }
  const std::size_t middle = from.size() < 2 ? from.size() : from.size() - 2;
  const auto split = from.begin() + static_cast<std::ptrdiff_t>(middle);
  return small ? std::vector<std::size_t>(from.begin(), split) : std::vector<std::size_t>(split, from.end());
}

}  // namespace

std::optional<std::size_t> Dossier::stage_index(std::string_view key) const {
  for (std::size_t i = 0; i < stages.size(); ++i)
    if (stages[i].key == key) return i;
  return std::nullopt;
}

const Dossier* Library::pest(std::string_view name) const {
  const std::string wanted = plain(name);
  if (wanted.empty()) return nullptr;
  for (const auto& d : pests)
    if (plain(d.id) == wanted || plain(d.eppo) == wanted) return &d;
  return nullptr;
}

const Friend* Library::friend_named(std::string_view id) const {
  const auto found = std::find_if(friends.begin(), friends.end(), [&](const Friend& f) { return f.id == id; });
  return found == friends.end() ? nullptr : &*found;
}

const Active* Library::active_named(std::string_view name) const {
  for (const auto& a : actives)
    if (a.id == name || same_active(a.name, name)) return &a;
  return nullptr;
}

const Crop* Library::crop(std::string_view eppo) const {
  const std::string wanted = plain(eppo);
  if (wanted.empty()) return nullptr;
  for (const auto& c : crops)
    if (plain(c.eppo) == wanted || plain(c.id) == wanted) return &c;
  return nullptr;
}

StageWord stages_for(const Dossier& dossier, std::string_view word) {
  const std::string wanted = plain(word);
  if (const auto i = dossier.stage_index(wanted)) return {{*i}, false};
  if (one_of(wanted, {"mass", "masses", "egg-mass", "egg-masses", "cluster", "clusters", "egg-cluster", "egg-clusters", "batch", "batches",
                      "egg-batch", "egg-batches"}))
    return dossier.laying.kind == Laying::Kind::mass ? StageWord{of_group(dossier, StageGroup::egg), true} : StageWord{};
  if (const auto group = group_word(wanted, dossier.order)) return {of_group(dossier, *group), false};
  if (one_of(wanted, {"immature", "immatures", "instars"})) return {instars(dossier), false};
  if (one_of(wanted, {"any", "all"})) {
    StageWord out;
    for (std::size_t i = 0; i < dossier.stages.size(); ++i) out.stages.push_back(i);
    return out;
  }
  if (wanted == "feeding") {
    StageWord out{instars(dossier), false};
    for (const auto i : of_group(dossier, StageGroup::adult)) out.stages.push_back(i);
    return out;
  }
  if (one_of(wanted, {"new-adult", "new-adults", "young-adult", "young-adults"}))
    if (const auto i = dossier.stage_index("adult-new")) return {{*i}, false};
  if (one_of(wanted, {"laying-adult", "laying-adults", "egg-laying-adults"}))
    if (const auto i = dossier.stage_index("adult-laying")) return {{*i}, false};
  if (auto found = sized(dossier, wanted); !found.empty()) return {std::move(found), false};
  return {numbered(dossier, wanted), false};
}

std::string_view word_for(StageGroup group) {
  switch (group) {
    case StageGroup::egg:
      return "egg";
    case StageGroup::nymph:
      return "nymph";
    case StageGroup::larva:
      return "larva";
    case StageGroup::pupa:
      return "pupa";
    case StageGroup::adult:
      return "adult";
  }
  return "";
}

namespace {

std::vector<std::string> active_words(std::string_view name) {
  std::vector<std::string> words;
  std::string word;
  const auto end_word = [&] {
    if (word == "bt" || word == "b.t.") {
      words.insert(words.end(), {"bacillus", "thuringiensis"});
    } else if (word == "b.") {
      words.emplace_back("bacillus");
    } else if (!word.empty() && word != "subsp." && word != "subsp" && word != "ssp." && word != "ssp" && word != "var." && word != "var") {
      words.push_back(word);
    }
    word.clear();
  };
  for (const char c : name) {
    if (c == ' ' || c == ',' || c == '\t') {
      end_word();
      if (!words.empty() && words.back() == "strain") break;
    } else {
      word += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
  }
  end_word();
  if (const auto strain = std::find(words.begin(), words.end(), "strain"); strain != words.end()) words.erase(strain, words.end());
  return words;
}

}  // namespace

bool same_active(std::string_view a, std::string_view b) { return active_words(a) == active_words(b); }

std::vector<const Efficacy*> effects_of(const Dossier& dossier, std::string_view means, bool is_active) {
  std::vector<const Efficacy*> found;
  const auto look_in = [&](const std::vector<Efficacy>& known) {
    for (const Efficacy& e : known)
      if (e.is_active == is_active && (is_active ? same_active(e.means, means) : e.means == means)) found.push_back(&e);
  };
  look_in(dossier.efficacies);
  if (found.empty() && is_active) look_in(dossier.ratings);
  return found;
}

std::string label_for(const Dossier& dossier, const StageWord& word) {
  if (word.masses) return "egg-mass";
  if (word.stages.size() == 1) return dossier.stages[word.stages.front()].key;
  std::string group;
  for (const std::size_t s : word.stages) {
    const std::string_view of_this = word_for(dossier.stages[s].group);
    if (!group.empty() && group != of_this) return "any";
    group = of_this;
  }
  return group.empty() ? "any" : group;
}

}  // namespace leafturn::pest
