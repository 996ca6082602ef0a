#include "tests/label/naive_directions.hpp"

namespace leafturn::label::naive {
namespace {

struct Judge : Directions {
  void interval() {
    double closest = 1e9;
    if (p.history)
      for (const Past& past : *p.history)
        if (folded(past.product) == folded(card.product) && !(spoiled("interval.looks_back_only") && past.on > p.on.time.date))
          closest = std::min(closest, std::abs(double(past.on.serial()) - on_day()));
    for (const Use* u : blocks) {
      if (!u->interval_days.is_copied())
        add(Rule::interval, State::unknown);
      else if (u->interval_days.says_none())
        add(Rule::interval, State::pass);
      else if (!p.history)
        add(Rule::interval, State::unknown);
      else if (spoiled("interval.same_day_too") ? closest <= *u->interval_days.value() : closest < *u->interval_days.value())
        add(Rule::interval, State::refused);
      else
        add(Rule::interval, State::pass);
    }
  }
  void max_applications() {
    int mine = 0, this_year = 0;
    if (p.history)
      for (const Past& past : *p.history)
        if (folded(past.product) == folded(card.product)) {
          ++mine;
          if (past.on.year() == p.on.time.date.year()) ++this_year;
        }
    for (const Use* u : blocks) {
      const int extra = spoiled("max_applications.one_more") ? 0 : 1;
      if (!u->max_applications.is_copied())
        add(Rule::max_applications, State::unknown);
      else if (u->max_applications.says_none())
        add(Rule::max_applications, State::pass);
      else if (!p.history)
        add(Rule::max_applications, State::unknown);
      else if (this_year + extra > *u->max_applications.value())
        add(Rule::max_applications, State::refused);
      else
        add(Rule::max_applications, mine + 1 > *u->max_applications.value() ? State::conditional : State::pass);
    }
  }
  void consecutive() {
    for (const Use* u : blocks) {
      if (!u->max_consecutive.value()) continue;
      if (numbers(card.actives).empty()) {
        add(Rule::consecutive, some_unknown(card.actives) ? State::unknown : State::pass);
        continue;
      }
      if (!p.history) {
        add(Rule::consecutive, State::unknown);
        continue;
      }
      // Latest first; of one day in the order given.
      int run = 0;
      bool unknown = false, over = false;
      for (int back = 0; back < 2000 && !over; ++back)
        for (const Past& past : *p.history) {
          if (over || on_day() - past.on.serial() != back) continue;
          if (overlap(numbers(card.actives), numbers(actives_of(past))))
            ++run;
          else
            over = true, unknown = some_unknown(actives_of(past));
        }
      if (run + (spoiled("consecutive.one_more") ? 0 : 1) > *u->max_consecutive.value())
        add(Rule::consecutive, State::refused);
      else
        add(Rule::consecutive, unknown && !spoiled("consecutive.unknown_ends") ? State::unknown : State::pass);
    }
  }
  int generation(Date d) const {
    if (p.generations.empty()) return -int(std::floor((on_day() - d.serial()) / p.generation_days));
    int n = 0;
    for (const Date start : p.generations)
      if (spoiled("rotation.first_day_before") ? start < d : start <= d) ++n;
    return n;
  }
  void rotation() {
    if (!p.history) return;
    bool any = false, before = false;
    std::set<int> met{generation(p.on.time.date)};
    for (const Past& past : *p.history) {
      if (past.on > p.on.time.date || !overlap(numbers(card.actives), numbers(actives_of(past)))) continue;
      any = true;
      if (!p.crop_since || past.on >= *p.crop_since) met.insert(generation(past.on));
      const int apart = generation(p.on.time.date) - generation(past.on);
      before = before || apart == 1 || (spoiled("rotation.two_before") && apart == 2);
    }
    if (!any) return;
    const bool half = p.cycle_days && double(met.size()) * p.generation_days / *p.cycle_days > 0.5 && !spoiled("rotation.half_ignored");
    add(Rule::rotation, before || half ? State::conditional : State::pass);
  }
  void oil_sulfur() {
    if (!p.history) return;
    const bool oil = contains_word(card.actives, "oil"), sulfur = contains_word(card.actives, "sulfur");
    double nearest = 1e9;
    for (const Past& past : *p.history)
      if ((oil && contains_word(actives_of(past), "sulfur")) || (sulfur && contains_word(actives_of(past), "oil")))
        nearest = std::min(nearest, std::abs(double(past.on.serial()) - on_day()));
    if (nearest > 1e8) return;
    const double* own = card.conditions.oil_sulfur_days.value();
    const double days = own ? *own : spoiled("oil_sulfur.two_weeks") ? 14 : 28;
    if (nearest >= days)
      add(Rule::oil_sulfur, State::pass);
    else
      add(Rule::oil_sulfur, own ? State::refused : State::conditional);
  }
  void plant_back() {
    for (const Use* u : blocks) {
      if (!u->plant_back.value()) continue;
      add(Rule::plant_back, State::pass);
      for (const Sowing& next : p.sowings) {
        if (next.on < p.on.time.date) continue;
        const PlantBack* wait = nullptr;
        for (const auto& b : *u->plant_back.value())
          if (b.crop == next.crop && !wait) wait = &b;
        if (!spoiled("plant_back.other_ignored"))
          for (const auto& b : *u->plant_back.value())
            if (b.crop.empty() && !wait) wait = &b;
        if (!wait) continue;
        const double apart = next.on.serial() - on_day();
        if (spoiled("plant_back.day_more") ? apart <= wait->days : apart < wait->days) add(Rule::plant_back, State::refused);
      }
    }
  }
  void growth_stage() {
    for (const Use* u : blocks) {
      const auto* w = u->growth_stage.value();
      if (!w) continue;
      if (!p.growth_stage)
        add(Rule::growth_stage, State::conditional);
      else if (spoiled("growth_stage.last_excluded") ? *p.growth_stage >= w->to : *p.growth_stage > w->to)
        add(Rule::growth_stage, State::refused);
      else
        add(Rule::growth_stage, *p.growth_stage < w->from ? State::refused : State::pass);
    }
  }
  void cover() {
    const bool glass = p.enclosed.value_or(false), cloth = p.covered.value_or(false);
    if (blocks.empty() || (!glass && !cloth)) return;
    if (cloth) add(Rule::cover, State::conditional);
    if (glass)
      for (const Use* u : blocks) {
        if (!u->greenhouse.is_copied())
          add(Rule::cover, State::unknown);
        else if (u->greenhouse.says_none())
          add(Rule::cover, spoiled("cover.none_passes") ? State::pass : State::conditional);
        else
          add(Rule::cover, yes(u->greenhouse) ? State::pass : State::refused);
      }
  }
  void bees() {
    bool banned = false;
    for (const Use* u : blocks) banned = banned || yes(u->bloom_ban);
    if (spoiled("bees.ban_ignored")) banned = false;
    const Bees* bees = card.conditions.bees.value();
    if (blocks.empty() || (!bees && !banned)) return;
    const bool never = banned || *bees == Bees::visiting || *bees == Bees::open_flowers;
    if (!never && *bees == Bees::other) return add(Rule::bees, State::conditional);
    if (!p.bloom) return add(Rule::bees, State::conditional);
    bool open = false, cucurbit = false, unseen = false;
    for (const BloomLook& look : *p.bloom) {
      const Minutes age = minutes(p.on.time) - minutes(look.at);
      const Minutes lasts = spoiled("bees.look_lasts_a_day") ? 24 * 60 : 12 * 60;
      const bool holds = p.on.day_only ? look.at.date == p.on.time.date : age >= 0 && age <= lasts;
      if (look.seen == BloomLook::Seen::not_looked || !holds)
        unseen = true;
      else if (look.seen == BloomLook::Seen::open_cucurbit)
        cucurbit = true;
      else if (look.seen == BloomLook::Seen::open)
        open = true;
    }
    const bool morning = p.on.day_only || p.on.time.second_of_day < 12 * 3600;
    if (never && (open || cucurbit)) return add(Rule::bees, State::refused);
    if (cucurbit && morning && !spoiled("bees.dawn_open")) return add(Rule::bees, State::refused);
    add(Rule::bees, open || cucurbit || unseen ? State::conditional : State::pass);
  }
  void drift() {
    for (const Neighbour& n : p.neighbours) {
      if (blocks.empty()) return;
      bool on_card = false;
      for (const Use& u : card.uses) {
        const Cover c = covers(u, n.crop, library);
        if (c != Cover::sure && c != Cover::unsure) continue;
        on_card = true;
        if (!u.pre_harvest_days.value()) {
          add(Rule::drift, State::conditional);
          continue;
        }
        add(Rule::drift, State::pass);
        for (const Moment& h : n.harvests) {
          if (!at_or_after(h)) continue;
          State found = against(h, spoiled("drift.own_crops_days") ? 0 : *u.pre_harvest_days.value());
          if (found == State::refused && !n.downwind && !spoiled("drift.all_refused")) found = State::conditional;
          add(Rule::drift, found);
        }
      }
      if (!on_card) add(Rule::drift, spoiled("drift.unlisted_passes") ? State::pass : State::conditional);
    }
  }

  void setting() {
    const bool agency_yes = p.agency && p.agency->allows;
    if (!card.setting.is_copied())
      add(Rule::setting, State::unknown);
    else if (card.setting.says_none())
      add(Rule::setting, State::conditional);
    else if (*card.setting.value() == CardSetting::both)
      add(Rule::setting, State::pass);
    else if (!p.setting)
      add(Rule::setting, State::unknown);
    else if ((*card.setting.value() == CardSetting::residential) == (*p.setting == garden::Setting::residential))
      add(Rule::setting, State::pass);
    else if (*card.setting.value() == CardSetting::residential && agency_yes)
      add(Rule::setting, State::conditional);
    else
      add(Rule::setting, spoiled("setting.warns_only") ? State::conditional : State::refused);
  }
  void registered() {
    if (!card.registered_in.is_copied()) return;
    if (card.registered_in.says_none()) return add(Rule::registered, State::conditional);
    if (!p.jurisdiction || p.jurisdiction->empty()) return add(Rule::registered, State::unknown);
    bool here = false;
    for (const auto& place : *card.registered_in.value())
      here = here || place == *p.jurisdiction || (spoiled("registered.same_country") && place.substr(0, 2) == p.jurisdiction->substr(0, 2));
    bool country_only = false;
    for (const auto& place : *card.registered_in.value()) country_only = country_only || place.find(*p.jurisdiction + "-") == 0;
    add(Rule::registered, here ? State::pass : country_only ? State::unknown : State::refused);
  }
  void sale() {
    if (!card.setting.value() || *card.setting.value() != CardSetting::residential || !p.produce) return;
    const bool kept = *p.produce == Produce::kept || (spoiled("sale.giving_is_keeping") && *p.produce == Produce::given);
    if (kept)
      add(Rule::sale, State::pass);
    else
      add(Rule::sale, p.agency && p.agency->allows ? State::conditional : State::refused);
  }
  void organic() {
    if (!p.organic.value_or(false)) return;
    if (!card.organic_listed.is_copied())
      add(Rule::organic, State::unknown);
    else if (!yes(card.organic_listed))
      add(Rule::organic, State::refused);
    else
      add(Rule::organic, p.tried.empty() && !spoiled("organic.straight_to_spray") ? State::conditional : State::pass);
  }
  void people() {
    if (yes(card.restricted_use)) {
      if (!p.handler)
        add(Rule::licence, State::conditional);
      else if (!p.handler->licensed)
        add(Rule::licence, spoiled("licence.unknown_passes") ? State::pass : State::unknown);
      else
        add(Rule::licence, *p.handler->licensed ? State::pass : State::refused);
    }
    const bool of_whom = p.handler && (p.handler->family || p.handler->adult || p.handler->trained);
    if (of_whom) {
      const auto &adult = p.handler->adult, &trained = p.handler->trained;
      if (p.handler->family && !spoiled("handler.family_covered_too"))
        add(Rule::handler, State::pass);
      else if ((adult && !*adult) || (trained && !*trained && !spoiled("handler.untrained")))
        add(Rule::handler, State::refused);
      else
        add(Rule::handler, adult && trained ? State::pass : State::unknown);
    } else if (yes(card.agricultural_use)) {
      add(Rule::handler, State::conditional);
    }
    if (const auto* wanted = card.ppe_handler.value()) {
      if (!p.handler || !p.handler->protection) {
        add(Rule::protection, State::conditional);
      } else {
        std::size_t on = 0;
        for (const auto& thing : *wanted) {
          bool worn = false;
          for (const auto& w : *p.handler->protection) worn = worn || folded(w) == folded(thing);
          on += worn ? 1 : 0;
        }
        const bool enough = spoiled("protection.one_thing") ? on > 0 : on == wanted->size();
        add(Rule::protection, enough ? State::pass : State::refused);
      }
    }
    if (p.nearest_person) {
      std::optional<Droplets> drops = p.droplets;
      if (!drops && card.conditions.droplets.value()) drops = *card.conditions.droplets.value();
      double feet = 25;
      if (!drops || *drops == Droplets::very_fine || *drops == Droplets::fine)
        feet = spoiled("exclusion.fine_25") ? 25 : 100;
      else if (p.release_height && p.release_height->inches() <= 12 + 1e-9)
        feet = 0;
      const double away = p.nearest_person->feet();
      add(Rule::exclusion, away < feet - 1e-9 ? State::refused : State::pass);
    }
  }

  void the_card() {
    if (card.expires.value()) {
      const int last = card.expires.value()->serial();
      add(Rule::expiry, (spoiled("expiry.last_day") ? on_day() >= last : on_day() > last) ? State::refused : State::pass);
    }
    if (card.whole) whole();
    bool doubtful = (card.registration.empty() && !yes(card.exempt)) || card.actives.empty() || card.copied_by.empty() || !card.copied_on ||
                    (card.whole && card.checked_by.empty());
    if (card.copied_on) {
      int held = card.copied_on->serial();
      if (card.checked_on) held = std::max(held, card.checked_on->serial());
      doubtful = doubtful || on_day() - held > (spoiled("other.two_years") ? 730 : 365);
    }
    for (const auto& o : card.others) doubtful = doubtful || o.field != "conditions.bees" || !card.conditions.bees.value();
    for (const Use* u : blocks) doubtful = doubtful || (u->adjuvant.value() && *u->adjuvant.value() != Adjuvant::allowed);
    if (doubtful) add(Rule::other, State::conditional);
  }
  void whole() {
    const Conditions& c = card.conditions;
    bool all = card.exempt.is_copied() && card.expires.is_copied() && card.restricted_use.is_copied() && card.signal.is_copied() &&
               card.first_aid.is_copied() && card.emergency.is_copied() && card.ppe_handler.is_copied() &&
               card.agricultural_use.is_copied() && card.ppe_early_entry.is_copied() && card.registered_in.is_copied() &&
               card.organic_listed.is_copied() && card.storage.is_copied() && card.disposal.is_copied() && !card.actives.empty() &&
               (!card.registration.empty() || yes(card.exempt));
    all = all && c.temp_min.is_copied() && c.temp_max.is_copied() && c.humidity_min.is_copied() && c.wind_min.is_copied() &&
          c.wind_max.is_copied() && c.inversion_ban.is_copied() && c.droplets.is_copied() && c.buffer.is_copied() &&
          c.water_buffer.is_copied() && c.bees.is_copied() && c.rainfast_hours.is_copied() && c.oil_sulfur_days.is_copied();
    for (const Use* u : blocks)
      all = all && u->method.is_copied() && u->pests.is_copied() && u->water_min.is_copied() && u->water_max.is_copied() &&
            u->adjuvant.is_copied() && u->growth_stage.is_copied() && u->bloom_ban.is_copied() && u->greenhouse.is_copied() &&
            u->feed_days.is_copied() && u->max_consecutive.is_copied() && u->max_product.is_copied() && u->max_active.is_copied() &&
            u->plant_back.is_copied();
    if (!all) add(Rule::copied, State::unknown);
  }

  Verdicts run() {
    crop();
    method();
    if (blocks.empty()) {
      for (const Rule r : {Rule::rate, Rule::pre_harvest, Rule::reentry, Rule::interval, Rule::max_applications}) add(r, State::unknown);
    } else {
      pest(), rate(), water(), amount(), pre_harvest(), reentry(), work(), feed(), interval(), max_applications(), consecutive();
      rotation(), oil_sulfur(), plant_back(), growth_stage(), cover(), bees(), drift();
    }
    setting(), registered(), sale(), organic(), people(), the_card();

    for (auto& [rule, state] : v.rules)
      if (mutant == std::string(word_for(rule)) + ".ignored") state = State::pass;
    State all = State::pass;
    for (const auto& [rule, state] : v.rules) all = worse(all, state);
    v.verdict = all == State::refused       ? Verdict::refused
                : all == State::unknown     ? Verdict::unknown
                : all == State::conditional ? Verdict::conditional
                                            : Verdict::allowed;
    if (blocks.empty()) return v;
    if (harvest_known && !(until_dry && std::floor(harvest / day) <= on_day()))
      v.earliest_harvest = std::max(harvest, hours_known ? entry : harvest);
    bool entry_known = hours_known;
    for (const Use* u : blocks) entry_known = entry_known && u->reentry.is_copied();
    if (entry_known) v.reentry = entry;
    return v;
  }
};

}  // namespace

Minutes minutes(const CivilTime& t) { return t.date.serial() * day + t.second_of_day / 60.0; }

State worse(State a, State b) {
  for (const State s : {State::refused, State::unknown, State::conditional})
    if (a == s || b == s) return s;
  return State::pass;
}

std::vector<std::string> mutants() {
  std::vector<std::string> names = {"crop.unclear_passes",
                                    "crop.unsure_passes",
                                    "method.keeps_all",
                                    "pest.us_refuses",
                                    "pest.elsewhere_conditional",
                                    "rate.pest_ignored",
                                    "rate.one_per_cent_more",
                                    "rate.highest_itself",
                                    "rate.below_passes",
                                    "water.at_the_end",
                                    "amount.all_years",
                                    "amount.reaching_it",
                                    "amount.own_product_only",
                                    "pre_harvest.day_less",
                                    "reentry.hour_less",
                                    "work.hour_less",
                                    "feed.own_days_ignored",
                                    "interval.looks_back_only",
                                    "interval.same_day_too",
                                    "max_applications.one_more",
                                    "consecutive.one_more",
                                    "consecutive.unknown_ends",
                                    "rotation.first_day_before",
                                    "rotation.two_before",
                                    "rotation.half_ignored",
                                    "oil_sulfur.two_weeks",
                                    "plant_back.other_ignored",
                                    "plant_back.day_more",
                                    "growth_stage.last_excluded",
                                    "cover.none_passes",
                                    "bees.ban_ignored",
                                    "bees.look_lasts_a_day",
                                    "bees.dawn_open",
                                    "drift.all_refused",
                                    "drift.own_crops_days",
                                    "drift.unlisted_passes",
                                    "setting.warns_only",
                                    "registered.same_country",
                                    "sale.giving_is_keeping",
                                    "organic.straight_to_spray",
                                    "licence.unknown_passes",
                                    "handler.family_covered_too",
                                    "handler.untrained",
                                    "protection.one_thing",
                                    "exclusion.fine_25",
                                    "expiry.last_day",
                                    "other.two_years"};
  for (int r = 0; r <= static_cast<int>(Rule::other); ++r) names.push_back(std::string(word_for(static_cast<Rule>(r))) + ".ignored");
  return names;
}

Verdicts judge(const Card& card, const Proposal& p, const pest::Library& library, const std::string& mutant) {
  return Judge{{card, p, library, mutant}}.run();
}

}  // namespace leafturn::label::naive
