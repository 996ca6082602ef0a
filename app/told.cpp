#include "app/told.hpp"

#include "app/spray_ground.hpp"
#include "io/quantity_text.hpp"
#include "io/told_words.hpp"

namespace leafturn::app {
namespace {

/// A choice among words, by its place.
template <class Enum>
Status read_word(const std::optional<std::string>& text, const char* field, const std::vector<std::string>& words,
                 std::optional<Enum>& into) {
  if (!text || text->empty()) return {};
  std::string known;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (words[i] == *text) {
      into = static_cast<Enum>(i);
      return {};
    }
    known += (known.empty() ? "" : ", ") + words[i];
  }
  return fail("write.told", {{}, 0, field}, {{"given", *text}, {"known", known}});
}
Status read_answer(const std::optional<std::string>& text, const char* field, std::optional<bool>& into) {
  const auto answer = yes_no(text, field);
  if (!answer) return fail(answer.error());
  into = *answer;
  return {};
}
Status read_length(const std::optional<std::string>& text, const char* field, std::optional<Length>& into) {
  if (!text || text->empty()) return {};
  const auto length = io::parse_length(*text, field);
  if (!length) return fail(length.error());
  into = *length;
  return {};
}

}  // namespace

Result<garden::Told> told_of(const ToldTyped& typed) {
  garden::Told told;
  if (auto ok = read_word(typed.flowers, "--flowers", io::flower_words, told.flowers); !ok) return fail(ok.error());
  if (auto ok = read_word(typed.produce, "--produce", io::produce_words, told.produce); !ok) return fail(ok.error());
  if (auto ok = read_word(typed.droplets, "--droplets", io::droplet_words, told.droplets); !ok) return fail(ok.error());
  if (auto ok = read_answer(typed.organic, "--organic", told.organic); !ok) return fail(ok.error());
  if (auto ok = read_answer(typed.enclosed, "--enclosed", told.enclosed); !ok) return fail(ok.error());
  if (auto ok = read_length(typed.nearest_person, "--nearest-person", told.nearest_person); !ok) return fail(ok.error());
  if (auto ok = read_length(typed.nozzle_height, "--nozzle-height", told.release_height); !ok) return fail(ok.error());
  garden::Handler who;
  who.family = typed.family;
  if (auto ok = read_answer(typed.adult, "--adult", who.adult); !ok) return fail(ok.error());
  if (auto ok = read_answer(typed.trained, "--trained", who.trained); !ok) return fail(ok.error());
  if (auto ok = read_answer(typed.licensed, "--licensed", who.licensed); !ok) return fail(ok.error());
  if (!typed.wearing.empty()) who.protection = typed.wearing;
  if (who.family || who.adult || who.trained || who.licensed || who.protection) told.handler = std::move(who);
  return told;
}

}  // namespace leafturn::app
