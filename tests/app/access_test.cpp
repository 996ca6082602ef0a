// People, codes and sessions against the clock, against guessing, and against whoever reads the files.
#include "app/access.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <atomic>
#include <filesystem>
#include <set>
#include <thread>

#include "app/open_garden.hpp"
#include "store/secret.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
const Instant start = *Instant::parse("2026-06-01T08:00:00Z");

class AccessTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = test::fresh_folder(std::string("access_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    ASSERT_EQ(Access::open(folder_).error().code, "app.no_garden");
    ASSERT_TRUE(OpenGarden::create(folder_));
    reopen();
  }
  void reopen() {
    auto opened = Access::open(folder_);
    ASSERT_TRUE(opened) << opened.error().code;
    access_ = std::move(*opened);
  }
  Person add(const std::string& name, const std::string& role = "scout") { return access_->add(name, role, start).value(); }
  Paired paired(const Person& person, Instant now = start) {
    return access_->pair(access_->offer(person.id, "", now).value().code, "blue phone", now).value();
  }
  std::string pair_error(const std::string& code, Instant now) {
    const auto made = access_->pair(code, "phone", now);
    return made ? "paired" : made.error().code;
  }
  bool live(const Paired& one, Instant now) { return access_->who(one.secret, now).value().has_value(); }
  /// Of every file in the folder, whatever SQLite calls it.
  bool somewhere(const std::string& bytes) {
    for (const auto& entry : fs::directory_iterator(folder_))
      if (test::read_file(entry.path().string()).find(bytes) != std::string::npos) return true;
    return false;
  }
  std::string folder_;
  std::unique_ptr<Access> access_;
};

TEST_F(AccessTest, people_have_names_and_roles_that_are_checked) {
  const Person ana = add("  Ana ", "lead");
  EXPECT_EQ(ana.name, "Ana");
  EXPECT_EQ(access_->add("Ana", "scout", start).error().code, "access.name_taken");
  EXPECT_EQ(access_->add("Bo", "boss", start).error().code, "access.no_such_role");
  for (const char* bad : {"", "   ", "a\nb", "\x1b[2J", "\xff", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"})
    EXPECT_EQ(access_->add(bad, "scout", start).error().code, "access.bad_name") << bad;
  const Person bo = add("Bo");
  EXPECT_EQ(access_->change(bo.id, "Ana", {}).error().code, "access.name_taken");
  EXPECT_EQ(access_->change(bo.id, {}, "applicator").value().role, Role::applicator);
  reopen();
  const auto people = access_->people().value();
  ASSERT_EQ(people.size(), 2U);
  EXPECT_EQ(people[1].name, "Bo");
  EXPECT_EQ(people[1].role, Role::applicator);
  EXPECT_EQ(access_->find("Bo").value().id, bo.id);
  EXPECT_EQ(access_->find(bo.id.text()).value().name, "Bo");
  EXPECT_EQ(access_->find("Cy").error().code, "access.no_such_person");
}

TEST_F(AccessTest, the_file_is_its_owners_only_and_holds_no_secret) {
  const Person ana = add("Ana");
  const auto offered = access_->offer(ana.id, "", start).value();
  struct stat seen{};
  ASSERT_EQ(stat((folder_ + "/access.db").c_str(), &seen), 0);
  EXPECT_EQ(seen.st_mode & 0777U, 0600U);
  EXPECT_FALSE(somewhere(offered.code));
  const auto one = access_->pair(offered.code, "phone", start).value();
  EXPECT_FALSE(somewhere(one.secret));
  EXPECT_TRUE(somewhere("Ana"));  // the search does find what is there
}

TEST_F(AccessTest, a_code_works_once) {
  const auto offered = access_->offer(add("Ana").id, "", start).value();
  EXPECT_EQ(pair_error(offered.code, start), "paired");
  EXPECT_EQ(pair_error(offered.code, start), "access.code_not_good");
  reopen();
  EXPECT_EQ(pair_error(offered.code, start), "access.code_not_good");
}

TEST_F(AccessTest, of_many_who_bring_the_same_code_at_once_one_gets_in) {
  const auto offered = access_->offer(add("Ana").id, "", start).value();
  auto second = Access::open(folder_).value();  // another program on the same file
  std::atomic<int> in{0}, out{0};
  {
    std::vector<std::jthread> phones;
    for (int i = 0; i < 6; ++i)
      phones.emplace_back([&, i] {
        const auto got = (i % 2 == 0 ? *access_ : *second).pair(offered.code, "phone", start);
        ++(got ? in : out);
        if (!got) {
          EXPECT_EQ(got.error().code, "access.code_not_good");
        }
      });
  }
  EXPECT_EQ(in, 1);
  EXPECT_EQ(out, 5);
  EXPECT_EQ(access_->sessions(start).value().size(), 1U);
}

TEST_F(AccessTest, a_code_ends_after_ten_minutes_and_never_holds_before_it_was_made) {
  const Person ana = add("Ana");
  const auto late = access_->offer(ana.id, "", start).value();
  EXPECT_EQ(late.until, start + Duration::minutes(10));
  EXPECT_EQ(pair_error(late.code, start + Duration::minutes(10)), "access.code_not_good");
  EXPECT_EQ(pair_error(late.code, start - Duration::minutes(1)), "access.code_not_good");  // a clock that went backwards
  EXPECT_EQ(pair_error(late.code, start + Duration::minutes(10) - Duration{1}), "paired");
}

TEST_F(AccessTest, a_new_code_ends_the_one_before_and_an_erased_persons_code_is_gone) {
  const Person ana = add("Ana"), bo = add("Bo");
  const auto first = access_->offer(ana.id, "", start).value();
  const auto second = access_->offer(ana.id, "", start).value();
  const auto others = access_->offer(bo.id, "", start).value();
  EXPECT_EQ(pair_error(first.code, start), "access.code_not_good");
  EXPECT_EQ(pair_error(second.code, start), "paired");
  ASSERT_TRUE(access_->erase(bo.id, "Bo", start));
  EXPECT_EQ(pair_error(others.code, start), "access.code_not_good");
  EXPECT_EQ(access_->offer(bo.id, "", start).error().code, "access.no_such_person");
}

TEST_F(AccessTest, a_code_is_read_as_people_write_it) {
  EXPECT_EQ(store::plain_code("k7mq-3vxd"), "K7MQ3VXD");
  EXPECT_EQ(store::plain_code(" K7MQ 3VXO "), "K7MQ3VX0");
  EXPECT_EQ(store::plain_code("il1o-0000"), "11100000");
  for (const char* bad : {"", "K7MQ3VX", "K7MQ3VXDA", "K7MQ3VXU", "K7MQ3VX\xc3\xa9"}) EXPECT_EQ(store::plain_code(bad), "") << bad;
  std::set<std::string> codes;
  for (int i = 0; i < 2000; ++i) {
    const auto code = store::fresh_code();
    EXPECT_EQ(store::plain_code(code), code);
    codes.insert(code);
  }
  // 2,000 of 2^40: a repetition has a chance of 2 in a million.
  EXPECT_EQ(codes.size(), 2000U);
}

/// Against another implementation of Argon2id (RFC 9106), the reference one of Debian's package argon2, run once:
/// printf K7MQ3VXD | argon2 0123456789abcdef -id -t 2 -k 65536 -p 1 -l 32 -r
TEST_F(AccessTest, what_is_kept_of_a_code_is_argon2id_with_64_megabytes) {
  store::Salt salt{};
  const std::string_view given = "0123456789abcdef";
  std::copy(given.begin(), given.end(), salt.begin());
  EXPECT_EQ(store::slow_digest("K7MQ3VXD", salt).value().hex(), "53c883ac971695dbf83fba27915630d7d29d5af4f48e231a7a4372a2d3ab8e1b");
}

TEST_F(AccessTest, two_files_keep_the_same_code_differently) {
  const store::Salt one = store::fresh_salt(), other = store::fresh_salt();
  const auto digest = store::slow_digest("K7MQ3VXD", one).value();
  EXPECT_EQ(store::slow_digest("K7MQ3VXD", one).value(), digest);
  EXPECT_NE(store::slow_digest("K7MQ3VXE", one).value(), digest);
  EXPECT_NE(store::slow_digest("K7MQ3VXD", other).value(), digest);
}

TEST_F(AccessTest, a_session_ends_unused_after_thirty_days_and_in_any_case_after_a_season) {
  const Person ana = add("Ana");
  const auto unused = paired(ana), used = paired(ana);
  const Duration day = Duration::hours(24);
  for (int d = 1; d < 180; ++d) {
    EXPECT_TRUE(live(used, start + Duration{day.microseconds * d})) << d;
  }
  EXPECT_FALSE(live(unused, start + session_idle));
  EXPECT_FALSE(live(used, start + session_life));
}

TEST_F(AccessTest, a_revoked_session_is_dead_at_once_for_every_program_on_the_file) {
  const auto one = paired(add("Ana"));
  auto server = Access::open(folder_).value();
  EXPECT_TRUE(server->who(one.secret, start).value());
  ASSERT_TRUE(access_->revoke(one.who.session->id, start));
  EXPECT_FALSE(server->who(one.secret, start).value());
  EXPECT_FALSE(server->live(one.who.session->id, start).value());
  ASSERT_TRUE(access_->revoke(one.who.session->id, start));  // twice is harmless
  EXPECT_EQ(access_->revoke(Id{}, start).error().code, "access.no_such_session");
}

TEST_F(AccessTest, a_lost_phone_is_signed_out_by_its_name) {
  const Person ana = add("Ana");
  const auto one = paired(ana);
  const auto other = access_->pair(access_->offer(ana.id, "old phone", start).value().code, "x", start).value();
  EXPECT_EQ(access_->sign_out(ana.id, "red phone", start).value(), 0);
  EXPECT_EQ(access_->sign_out(ana.id, "old phone", start).value(), 1);
  EXPECT_TRUE(live(one, start));
  EXPECT_FALSE(live(other, start));
  EXPECT_EQ(access_->sign_out(ana.id, "", start).value(), 1);
  EXPECT_FALSE(live(one, start));
}

TEST_F(AccessTest, a_changed_role_holds_from_the_next_request_on) {
  const Person ana = add("Ana", "lead");
  const auto one = paired(ana);
  EXPECT_EQ(access_->who(one.secret, start).value()->role, Role::lead);
  ASSERT_TRUE(access_->change(ana.id, {}, "reader"));
  EXPECT_EQ(access_->who(one.secret, start).value()->role, Role::reader);
}

TEST_F(AccessTest, only_the_secret_itself_opens_a_session) {
  const auto one = paired(add("Ana"));
  EXPECT_TRUE(access_->who(one.secret, start).value());
  for (const std::string& other : {std::string{}, one.secret.substr(1), one.secret + "0", token_of(one.secret), one.who.session->id.text()})
    EXPECT_FALSE(access_->who(other, start).value()) << other;
  EXPECT_TRUE(token_fits(one.secret, token_of(one.secret)));
  EXPECT_FALSE(token_fits(one.secret, one.secret));
  EXPECT_FALSE(token_fits(one.secret, ""));
}

TEST_F(AccessTest, erasing_leaves_the_name_in_no_file) {
  const Person ana = add("Anastasia of the north beds");
  const auto offered = access_->offer(ana.id, "Anastasia's own telephone", start).value();
  const auto one = access_->pair(offered.code, "phone", start).value();
  EXPECT_EQ(one.who.session->device, "Anastasia's own telephone");
  ASSERT_TRUE(somewhere("Anastasia"));
  EXPECT_EQ(access_->erase(ana.id, "Ana", start).error().code, "access.not_confirmed");
  EXPECT_TRUE(live(one, start));
  ASSERT_TRUE(access_->erase(ana.id, "Anastasia of the north beds", start));
  EXPECT_FALSE(somewhere("Anastasia"));
  EXPECT_FALSE(live(one, start));
  const auto left = access_->find(ana.id.text()).value();
  EXPECT_EQ(left.name, "");
  EXPECT_TRUE(left.erased);
  EXPECT_EQ(access_->change(ana.id, "Ana", {}).error().code, "access.no_such_person");
  EXPECT_EQ(access_->erase(ana.id, "", start).error().code, "access.no_such_person");
  EXPECT_TRUE(access_->add("Anastasia of the north beds", "scout", start)) << "the name is free again";
}

TEST_F(AccessTest, another_file_is_refused_and_left_as_it_is) {
  const std::string other = folder_ + "/other";
  fs::create_directories(other);
  ASSERT_TRUE(OpenGarden::create(other));
  fs::copy_file(folder_ + "/access.db", other + "/access.db");
  {
    // Another application's mark in the header of the file (sqlite.org/fileformat2.html, 1.3: 4 bytes at offset 68).
    auto* file = std::fopen((other + "/access.db").c_str(), "r+b");
    std::fseek(file, 68, SEEK_SET);
    std::fputs("Otto", file);
    std::fclose(file);
  }
  const auto before = test::read_file(other + "/access.db");
  EXPECT_EQ(Access::open(other).error().code, "access.not_a_book");
  EXPECT_EQ(test::read_file(other + "/access.db"), before);
}

}  // namespace
}  // namespace leafturn::app
