// Who may write what: the table of docs/access.md, one's own name, and one's own entries.
#include "app/record_as.hpp"

#include <gtest/gtest.h>

#include <map>

#include "app/import_garden.hpp"
#include "io/event_json.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

const Instant now = *Instant::parse("2026-06-11T23:00:00Z");

/// The table as people read it: `| \`see_board\` | yes | yes | … | what |`.
std::map<std::string, std::map<Role, bool>> told_table() {
  std::map<std::string, std::map<Role, bool>> table;
  const std::string page = test::read_file(test::source_path("docs/access.md"));
  for (std::size_t at = page.find("\n| `"); at != std::string::npos; at = page.find("\n| `", at + 1)) {
    std::vector<std::string> cells;
    const std::string line = page.substr(at + 2, page.find('\n', at + 1) - at - 2);
    for (std::size_t from = 0, bar = line.find('|'); bar != std::string::npos; from = bar + 1, bar = line.find('|', from)) {
      const std::string cell = line.substr(from, bar - from);
      const auto first = cell.find_first_not_of(' ');
      cells.push_back(first == std::string::npos ? "" : cell.substr(first, cell.find_last_not_of(' ') - first + 1));
    }
    if (cells.size() != 7) continue;
    const std::string action = cells[0].substr(1, cells[0].size() - 2);
    for (std::size_t i = 0; i < all_roles.size(); ++i) {
      EXPECT_TRUE(cells[i + 1] == "yes" || cells[i + 1] == "–") << line;
      table[action][all_roles[i]] = cells[i + 1] == "yes";
    }
  }
  return table;
}

TEST(May, is_what_the_page_about_access_says) {
  const auto told = told_table();
  EXPECT_EQ(told.size(), all_actions.size());
  for (const Action action : all_actions) {
    const auto row = told.find(std::string(word_for(action)));
    ASSERT_NE(row, told.end()) << word_for(action);
    for (const Role role : all_roles) EXPECT_EQ(may(role, action), row->second.at(role)) << word_for(role) << " " << word_for(action);
  }
  for (const Role role : all_roles) EXPECT_EQ(parse_role(word_for(role)), role);
  EXPECT_FALSE(parse_role("Lead"));
  EXPECT_FALSE(parse_role(""));
}

class RecordAs : public testing::Test {
 protected:
  void SetUp() override {
    const std::string folder =
        test::fresh_folder(std::string("record_as_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    ASSERT_TRUE(make_demo(folder + "/g", now));
    garden_ = OpenGarden::open(folder + "/g").value();
    access_ = Access::open(folder + "/g").value();
    for (const Role role : all_roles) people_[role] = access_->add(std::string(word_for(role)), std::string(word_for(role)), now).value();
  }
  Who who(Role role) { return {role, people_.at(role), SessionView{}}; }
  std::string reference(Role role) { return people_.at(role).id.text(); }
  std::string bytes(const garden::Payload& payload, const std::string& by, Instant at = now) {
    ++seq_;
    return io::encode_event({{Id::version7(static_cast<std::uint64_t>(1000 + seq_), {}), "phone", seq_, at, by}, payload});
  }
  /// Empty when it went in. Nothing is written otherwise.
  std::string code(const Who& who, const std::string& event) {
    const auto before = garden_->ledger().last_seq().value();
    const auto outcome = record_as(*garden_, who, event, now);
    EXPECT_EQ(garden_->ledger().last_seq().value(), before + (outcome ? 1U : 0U));
    return outcome ? "" : outcome.error().code;
  }
  garden::CountTaken count() const { return {"1", "imported-cabbageworm", "egg", 10, 2}; }

  std::uint64_t seq_ = 0;
  std::unique_ptr<OpenGarden> garden_;
  std::unique_ptr<Access> access_;
  std::map<Role, Person> people_;
};

TEST_F(RecordAs, who_did_it_comes_from_the_session) {
  const Who scout = who(Role::scout);
  EXPECT_EQ(code(scout, bytes(count(), reference(Role::scout))), "");
  for (const std::string& other : {reference(Role::lead), std::string("scout"), std::string{}})
    EXPECT_EQ(code(scout, bytes(count(), other)), "access.not_you") << other;
  // A lead copies a paper note of somebody else, but never nobody's.
  EXPECT_EQ(code(who(Role::lead), bytes(count(), reference(Role::scout))), "");
  EXPECT_EQ(code(who(Role::lead), bytes(count(), "a visitor")), "");
  EXPECT_EQ(code(who(Role::lead), bytes(count(), "")), "access.not_you");
  // At the garden's own computer it stays as it was.
  EXPECT_EQ(code({Role::lead, {}, {}}, bytes(count(), "")), "");
}

TEST_F(RecordAs, what_a_role_may_not_write_it_may_not_put_right_either) {
  const auto target = [&](Role role, const garden::Payload& payload) {
    const auto told = record_as(*garden_, who(Role::lead), bytes(payload, reference(role)), now);
    EXPECT_TRUE(told) << told.error().code;
    return told->receipt.id;
  };
  const Id own = target(Role::scout, count()), leads = target(Role::lead, count());
  const Id harvest = target(Role::picker, garden::HarvestTaken{"2", "", {}, ""});
  const auto withdraw = [&](Id id) { return garden::Amended{id, "mistyped", {}, {}}; };
  EXPECT_EQ(code(who(Role::scout), bytes(withdraw(leads), reference(Role::scout))), "access.not_yours");
  EXPECT_EQ(code(who(Role::picker), bytes(withdraw(own), reference(Role::picker))), "access.not_your_role");
  EXPECT_EQ(code(who(Role::reader), bytes(withdraw(own), reference(Role::reader))), "access.not_your_role");
  EXPECT_EQ(code(who(Role::scout), bytes(withdraw(harvest), reference(Role::scout))), "access.not_yours");
  // Neither by turning what one may write into what one may not.
  const Id work = target(Role::scout, garden::WorkDone{garden::WorkDone::Kind::hand_pick, "1", ""});
  const garden::Amended pulled{work, "in truth", garden::Saying{garden::WorkDone{garden::WorkDone::Kind::pull, "1", ""}}, {}};
  EXPECT_EQ(code(who(Role::scout), bytes(pulled, reference(Role::scout))), "access.not_your_role");
  EXPECT_EQ(code(who(Role::scout), bytes(withdraw(own), reference(Role::scout))), "");
  EXPECT_EQ(code(who(Role::lead), bytes(withdraw(harvest), reference(Role::lead))), "");
}

TEST_F(RecordAs, bytes_that_are_no_event_are_refused_as_ever) {
  EXPECT_EQ(code(who(Role::scout), "{}").substr(0, 6), "event.");
  EXPECT_EQ(code(who(Role::scout), "not json").substr(0, 6), "event.");
}

TEST_F(RecordAs, erasing_a_person_keeps_the_chain_whole) {
  EXPECT_EQ(code(who(Role::scout), bytes(count(), reference(Role::scout))), "");
  const auto head = garden_->ledger().verify().value();
  ASSERT_TRUE(access_->erase(people_.at(Role::scout).id, "scout", now));
  const auto after = garden_->ledger().verify(head.head).value();
  EXPECT_TRUE(after.intact);
  EXPECT_EQ(after.head, head.head);
}

}  // namespace
}  // namespace leafturn::app
