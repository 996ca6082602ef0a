#include "core/label/card.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace leafturn::label {
namespace {

using Basis = ProductRate::Basis;

enum class Dimension { volume, mass, area };

/// A unit word, joined and in lower case, with its size in litres, grams or square metres.
struct Unit {
  std::string_view word;
  Dimension dimension;
  double size;
};

constexpr double litre_of(Volume v) { return v.litres(); }
constexpr double gram_of(Mass m) { return m.grams(); }
constexpr double square_metre_of(Area a) { return a.square_metres(); }

// A bare `oz` is weight; a fluid ounce must be written as one (`floz`, `fl oz`), because guessing wrong changes the dose.
// `cc` is printed on sprayer cups in Mexico; a cup is the US customary 8 fluid ounces.
constexpr std::array units = {
    Unit{"gal", Dimension::volume, litre_of(Volume::gallons(1))},
    Unit{"gallon", Dimension::volume, litre_of(Volume::gallons(1))},
    Unit{"qt", Dimension::volume, litre_of(Volume::quarts(1))},
    Unit{"quart", Dimension::volume, litre_of(Volume::quarts(1))},
    Unit{"pt", Dimension::volume, litre_of(Volume::pints(1))},
    Unit{"pint", Dimension::volume, litre_of(Volume::pints(1))},
    Unit{"cup", Dimension::volume, litre_of(Volume::fluid_ounces(8))},
    Unit{"floz", Dimension::volume, litre_of(Volume::fluid_ounces(1))},
    Unit{"fluidoz", Dimension::volume, litre_of(Volume::fluid_ounces(1))},
    Unit{"fluidounce", Dimension::volume, litre_of(Volume::fluid_ounces(1))},
    Unit{"flounce", Dimension::volume, litre_of(Volume::fluid_ounces(1))},
    Unit{"tbsp", Dimension::volume, litre_of(Volume::tablespoons(1))},
    Unit{"tablespoon", Dimension::volume, litre_of(Volume::tablespoons(1))},
    Unit{"tablespoonful", Dimension::volume, litre_of(Volume::tablespoons(1))},
    Unit{"tsp", Dimension::volume, litre_of(Volume::teaspoons(1))},
    Unit{"teaspoon", Dimension::volume, litre_of(Volume::teaspoons(1))},
    Unit{"teaspoonful", Dimension::volume, litre_of(Volume::teaspoons(1))},
    Unit{"l", Dimension::volume, 1.0},
    Unit{"liter", Dimension::volume, 1.0},
    Unit{"litre", Dimension::volume, 1.0},
    Unit{"litro", Dimension::volume, 1.0},
    Unit{"hl", Dimension::volume, 100.0},
    Unit{"dl", Dimension::volume, 0.1},
    Unit{"cl", Dimension::volume, 0.01},
    Unit{"ml", Dimension::volume, 0.001},
    Unit{"milliliter", Dimension::volume, 0.001},
    Unit{"millilitre", Dimension::volume, 0.001},
    Unit{"cc", Dimension::volume, 0.001},
    Unit{"lb", Dimension::mass, gram_of(Mass::pounds(1))},
    Unit{"pound", Dimension::mass, gram_of(Mass::pounds(1))},
    Unit{"oz", Dimension::mass, gram_of(Mass::ounces(1))},
    Unit{"ounce", Dimension::mass, gram_of(Mass::ounces(1))},
    Unit{"kg", Dimension::mass, 1000.0},
    Unit{"kilogram", Dimension::mass, 1000.0},
    Unit{"g", Dimension::mass, 1.0},
    Unit{"gr", Dimension::mass, 1.0},
    Unit{"gram", Dimension::mass, 1.0},
    Unit{"mg", Dimension::mass, 0.001},
    Unit{"acre", Dimension::area, square_metre_of(Area::acres(1))},
    Unit{"ac", Dimension::area, square_metre_of(Area::acres(1))},
    Unit{"a", Dimension::area, square_metre_of(Area::acres(1))},
    Unit{"ha", Dimension::area, square_metre_of(Area::hectares(1))},
    Unit{"hectare", Dimension::area, square_metre_of(Area::hectares(1))},
    Unit{"hectarea", Dimension::area, square_metre_of(Area::hectares(1))},
    Unit{"ft2", Dimension::area, square_metre_of(Area::square_feet(1))},
    Unit{"sqft", Dimension::area, square_metre_of(Area::square_feet(1))},
    Unit{"squarefeet", Dimension::area, square_metre_of(Area::square_feet(1))},
    Unit{"squarefoot", Dimension::area, square_metre_of(Area::square_feet(1))},
    Unit{"m2", Dimension::area, 1.0},
    Unit{"sqm", Dimension::area, 1.0},
    Unit{"squaremetre", Dimension::area, 1.0},
    Unit{"squaremeter", Dimension::area, 1.0},
};

struct Token {
  enum class Kind { number, word, slash, percent } kind = Kind::word;
  std::string text;
};

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return c >= 'a' && c <= 'z'; }

// Lower case; printed fractions, squares and the two ways of saying 'in volume' put into plain characters.
std::string plain(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  constexpr std::array<std::pair<std::string_view, std::string_view>, 14> swaps = {{{"½", " 1/2"},
                                                                                    {"¼", " 1/4"},
                                                                                    {"¾", " 3/4"},
                                                                                    {"⅓", " 1/3"},
                                                                                    {"⅔", " 2/3"},
                                                                                    {"⅛", " 1/8"},
                                                                                    {"²", "2"},
                                                                                    {"á", "a"},
                                                                                    {"^2", "2"},
                                                                                    {"\xC2\xA0", " "},
                                                                                    {"v/v", "vv"},
                                                                                    {"w/v", "wv"},
                                                                                    {"w/w", "ww"},
                                                                                    {"by volume", "vv"}}};
  for (const auto& [from, to] : swaps)
    for (std::size_t at = out.find(from); at != std::string::npos; at = out.find(from, at + to.size())) out.replace(at, from.size(), to);
  return out;
}

/// Whole text as tokens; nothing when it holds a character no rate has.
std::optional<std::vector<Token>> tokens(const std::string& text) {
  std::vector<Token> out;
  std::size_t i = 0;
  while (i < text.size()) {
    const char c = text[i];
    if (c == ' ' || c == '\t') {
      ++i;
    } else if (is_digit(c) || (c == '.' && i + 1 < text.size() && is_digit(text[i + 1]))) {
      const std::size_t start = i;
      while (i < text.size() && (is_digit(text[i]) || ((text[i] == '.' || text[i] == ',') && i + 1 < text.size() && is_digit(text[i + 1]))))
        ++i;
      out.push_back({Token::Kind::number, text.substr(start, i - start)});
    } else if (is_letter(c)) {
      const std::size_t start = i;
      while (i < text.size() && is_letter(text[i])) ++i;
      // The 2 of `ft2` belongs to the word; any other digit after letters makes a number of its own and is refused later.
      if (i < text.size() && text[i] == '2' && (i + 1 == text.size() || !is_digit(text[i + 1]))) ++i;
      std::string word = text.substr(start, i - start);
      if (i < text.size() && text[i] == '.') ++i;
      if (word == "per" || word == "por")
        out.push_back({Token::Kind::slash, "/"});
      else
        out.push_back({Token::Kind::word, std::move(word)});
    } else if (c == '/') {
      out.push_back({Token::Kind::slash, "/"});
      ++i;
    } else if (c == '%') {
      out.push_back({Token::Kind::percent, "%"});
      ++i;
    } else {
      return std::nullopt;
    }
  }
  return out;
}

/// `12`, `1.5`, and where `thousands` allows it `1,000`. A comma in an amount could be a decimal mark or a thousands mark, a factor of a
/// thousand apart, so `1,5` is read (no thousands mark stands before one or two digits) and `1,500` is not.
std::optional<double> number(std::string_view text, bool thousands) {
  std::string digits;
  int decimals = -1;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (is_digit(c)) {
      digits += c;
      if (decimals >= 0) ++decimals;
      continue;
    }
    if (decimals >= 0) return std::nullopt;
    const std::size_t rest = text.size() - i - 1;
    if (c == ',' && thousands && i >= 1 && i <= 3 && rest == 3) continue;
    if (c == ',' && rest > 2) return std::nullopt;
    decimals = 0;
  }
  // 15 digits and a power of ten up to 10^15 are exact, so the quotient is the correctly rounded number.
  if (digits.empty() || digits.size() > 15) return std::nullopt;
  std::int64_t mantissa = 0;
  for (const char c : digits) mantissa = mantissa * 10 + (c - '0');
  std::int64_t scale = 1;
  for (int i = 0; i < decimals; ++i) scale *= 10;
  return static_cast<double>(mantissa) / static_cast<double>(scale);
}

// Words beside a unit that name what is measured and change nothing.
bool said_anyway(std::string_view word) {
  constexpr std::array<std::string_view, 9> words = {"of", "product", "water", "spray", "solution", "finished", "us", "de", "agua"};
  return std::find(words.begin(), words.end(), word) != words.end();
}

class Reader {
 public:
  explicit Reader(const std::vector<Token>& t) : tokens_{t} {}

  bool done() const { return at_ == tokens_.size(); }
  bool next_is(Token::Kind kind) const { return !done() && tokens_[at_].kind == kind; }
  bool take(Token::Kind kind) {
    if (!next_is(kind)) return false;
    ++at_;
    return true;
  }

  /// `2`, `1.5`, `1/2`, `1 1/2`.
  std::optional<double> amount(bool thousands) {
    auto first = plain_number(thousands);
    if (!first) return std::nullopt;
    if (const auto share = quotient(at_ - 1)) {
      at_ += 2;
      return share;
    }
    if (!done() && tokens_[at_].kind == Token::Kind::number) {
      const auto share = quotient(at_);
      if (!share || *share >= 1.0) return std::nullopt;
      at_ += 3;
      return *first + *share;
    }
    return first;
  }

  /// The unit words up to a slash or the end, joined; words that name what is measured are left out.
  const Unit* unit() {
    std::string joined;
    while (next_is(Token::Kind::word)) {
      const std::string& word = tokens_[at_++].text;
      if (!said_anyway(word)) joined += word;
    }
    for (const bool singular : {false, true}) {
      if (singular) {
        if (joined.size() < 3 || joined.back() != 's') return nullptr;
        joined.pop_back();
      }
      const auto found = std::find_if(units.begin(), units.end(), [&](const Unit& u) { return u.word == joined; });
      if (found != units.end()) return &*found;
    }
    return nullptr;
  }

  void skip_said_anyway() {
    while (next_is(Token::Kind::word) && said_anyway(tokens_[at_].text)) ++at_;
  }

  bool take_word(std::string_view word) {
    if (done() || tokens_[at_].text != word) return false;
    ++at_;
    return true;
  }

 private:
  std::optional<double> plain_number(bool thousands) {
    if (done() || tokens_[at_].kind != Token::Kind::number) return std::nullopt;
    return number(tokens_[at_++].text, thousands);
  }
  /// `n/m` of whole numbers starting at a token.
  std::optional<double> quotient(std::size_t at) const {
    if (at + 2 >= tokens_.size() || tokens_[at + 1].kind != Token::Kind::slash || tokens_[at + 2].kind != Token::Kind::number)
      return std::nullopt;
    if (tokens_[at].text.size() > 2 || tokens_[at + 2].text.size() > 2) return std::nullopt;
    const auto top = number(tokens_[at].text, false);
    const auto bottom = number(tokens_[at + 2].text, false);
    if (!top || !bottom || !(*bottom > 0.0)) return std::nullopt;
    return *top / *bottom;
  }

  const std::vector<Token>& tokens_;
  std::size_t at_ = 0;
};

tl::unexpected<Error> unreadable(std::string_view text, std::string code = "label.rate_unreadable") {
  return fail(std::move(code), {}, {{"rate", std::string(text)}});
}

}  // namespace

Result<ProductRate> parse_rate(std::string_view text) {
  if (text.size() > 120) return unreadable(text.substr(0, 40));
  const auto words = tokens(plain(text));
  if (!words) return unreadable(text);
  Reader in(*words);
  const auto amount = in.amount(false);
  if (!amount) return unreadable(text);

  ProductRate rate;
  rate.as_given = std::string(text);
  if (in.take(Token::Kind::percent)) {
    const bool by_weight = in.take_word("wv");
    if (!by_weight) in.take_word("vv");
    in.skip_said_anyway();
    if (!in.done()) return unreadable(text);
    // One per cent weight in volume is one gram in 100 ml.
    rate.basis = by_weight ? Basis::mass_per_volume : Basis::volume_per_volume;
    rate.value = by_weight ? *amount * 10.0 : *amount / 100.0;
  } else {
    const Unit* product = in.unit();
    if (product == nullptr || product->dimension == Dimension::area || !in.take(Token::Kind::slash)) return unreadable(text);
    const std::optional<double> per = in.next_is(Token::Kind::number) ? in.amount(true) : 1.0;
    const Unit* carrier = in.unit();
    if (!per || !(*per > 0.0) || carrier == nullptr || carrier->dimension == Dimension::mass || !in.done()) return unreadable(text);
    const bool by_area = carrier->dimension == Dimension::area;
    if (product->dimension == Dimension::volume)
      rate.basis = by_area ? Basis::volume_per_area : Basis::volume_per_volume;
    else
      rate.basis = by_area ? Basis::mass_per_area : Basis::mass_per_volume;
    rate.value = *amount * product->size / (*per * carrier->size);
  }
  if (!(rate.value > 0.0)) return unreadable(text, "label.rate_not_positive");
  if (rate.basis == Basis::volume_per_volume && rate.value > 1.0) return unreadable(text, "label.rate_more_than_spray");
  return rate;
}

}  // namespace leafturn::label
