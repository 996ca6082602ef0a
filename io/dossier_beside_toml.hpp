#pragma once
// What a dossier knows beside stages and rates: how counts vary, how to count, damage, signs, look-alikes, enemies.

#include "core/pest/dossier.hpp"
#include "io/dossier_fields_toml.hpp"

namespace leafturn::io::dossier {

pest::Dispersion read_dispersion(Fields& f);
pest::SamplingPlan read_sampling(Fields& f);
pest::Damage read_damage(Fields& f);
pest::Sign read_sign(Fields& f);
pest::LookAlike read_look_alike(Fields& f);
pest::Enemy read_enemy(Fields& f);
pest::Figure read_figure(Fields& f);

}  // namespace leafturn::io::dossier
