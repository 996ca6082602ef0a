#include "core/pest/rate_model.hpp"

#include "core/base/elementary.hpp"

namespace leafturn::pest {
namespace {

struct SourceOf {
  const Source& operator()(const LinearRate& rate) const { return rate.constant.source; }
  const Source& operator()(const auto& rate) const { return rate.source; }
};

struct WordFor {
  std::string_view operator()(const LinearRate&) const { return "linear"; }
  std::string_view operator()(const BriereRate& rate) const { return num::exactly_equal(rate.m, 2.0) ? "briere-1" : "briere-2"; }
  std::string_view operator()(const LactinRate&) const { return "lactin-2"; }
  std::string_view operator()(const LoganRate&) const { return "logan-6"; }
  std::string_view operator()(const Logan10Rate&) const { return "logan-10"; }
  std::string_view operator()(const SchoolfieldRate&) const { return "sharpe-schoolfield"; }
  std::string_view operator()(const KontodimasRate&) const { return "kontodimas"; }
  std::string_view operator()(const BetaRate&) const { return "beta"; }
  std::string_view operator()(const TableRate&) const { return "table"; }
};

}  // namespace

const Source& source_of(const RateModel& model) { return std::visit(SourceOf{}, model); }
std::string_view word_for(const RateModel& model) { return std::visit(WordFor{}, model); }

}  // namespace leafturn::pest
