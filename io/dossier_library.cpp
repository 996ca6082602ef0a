#include <algorithm>

#include "embedded/dossiers.hpp"
#include "io/active_toml.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::io {
namespace {

std::string file_of(const pest::Dossier& d) { return "dossiers/pests/" + d.id + ".toml"; }
std::string file_of(const pest::Friend& f) { return "dossiers/friends/" + f.id + ".toml"; }

/// Crops, pests and friends that one dossier names and no other describes.
std::optional<Error> unknown_names(const pest::Library& library) {
  for (const auto& d : library.pests) {
    const auto unknown_crop = [&](const std::vector<std::string>& crops, const std::string& field) -> std::optional<Error> {
      for (const auto& c : crops)
        if (library.crop(c) == nullptr) return Error{"dossier.unknown_crop", {file_of(d), 0, field}, {{"value", c}}};
      return std::nullopt;
    };
    for (const auto& h : d.hosts)
      if (auto wrong = unknown_crop({h.crop}, "hosts." + h.crop)) return wrong;
    for (const auto& t : d.thresholds)
      if (auto wrong = unknown_crop(t.crops, "threshold.crops")) return wrong;
    for (const auto& one : d.damages)
      if (auto wrong = unknown_crop(one.crops, "damage.crops")) return wrong;
    for (const auto& e : d.enemies)
      if (!e.friend_id.empty() && library.friend_named(e.friend_id) == nullptr)
        return Error{"dossier.unknown_friend", {file_of(d), 0, "enemy." + e.scientific}, {{"value", e.friend_id}}};
  }
  for (const auto& f : library.friends)
    for (const auto& prey : f.prey) {
      const pest::Dossier* pest = library.pest(prey.pest);
      if (pest == nullptr) return Error{"dossier.unknown_pest", {file_of(f), 0, "prey"}, {{"value", prey.pest}}};
      for (const auto& stage : prey.stages)
        if (pest::stages_for(*pest, stage).stages.empty())
          return Error{"dossier.unknown_stage", {file_of(f), 0, "prey." + prey.pest}, {{"value", stage}}};
    }
  return std::nullopt;
}

}  // namespace

Result<pest::Library> built_in_library() {
  pest::Library out;
  for (const auto& file : embedded::dossiers()) {
    const std::string name(file.name);
    if (name.starts_with("dossiers/pests/")) {
      auto one = read_pest_toml(file.bytes, name);
      if (!one) return leafturn::fail(one.error());
      out.pests.push_back(std::move(*one));
    } else if (name.starts_with("dossiers/friends/")) {
      auto one = read_friend_toml(file.bytes, name);
      if (!one) return leafturn::fail(one.error());
      out.friends.push_back(std::move(*one));
    } else if (name.starts_with("dossiers/actives/")) {
      auto one = read_active_toml(file.bytes, name);
      if (!one) return leafturn::fail(one.error());
      out.actives.push_back(std::move(*one));
    } else {
      auto one = read_crop_toml(file.bytes, name);
      if (!one) return leafturn::fail(one.error());
      out.crops.push_back(std::move(*one));
    }
  }
  std::sort(out.pests.begin(), out.pests.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  std::sort(out.friends.begin(), out.friends.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  std::sort(out.crops.begin(), out.crops.end(), [](const auto& a, const auto& b) { return a.eppo < b.eppo; });
  std::sort(out.actives.begin(), out.actives.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  for (std::size_t i = 1; i < out.crops.size(); ++i)
    if (out.crops[i].eppo == out.crops[i - 1].eppo)
      return leafturn::fail("dossier.duplicate", {"dossiers/crops/" + out.crops[i].id + ".toml", 0, "eppo.code"},
                            {{"value", out.crops[i].eppo}});
  for (const auto& a : out.actives)
    if (out.active_named(a.name) != &a)
      return leafturn::fail("dossier.duplicate", {"dossiers/actives/" + a.id + ".toml", 0, "name"}, {{"value", a.name}});
  if (const auto wrong = unknown_names(out)) return leafturn::fail(*wrong);
  return out;
}

std::optional<std::string_view> built_in_text(std::string_view id) {
  for (const auto& file : embedded::dossiers())
    if (std::string_view name = file.name; name.ends_with(".toml") && name.substr(name.find_last_of('/') + 1) == std::string(id) + ".toml")
      return file.bytes;
  return std::nullopt;
}

}  // namespace leafturn::io
