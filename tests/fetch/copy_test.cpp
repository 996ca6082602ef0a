// The copy on the disk: whole or not there.
#include "fetch/copy.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>

#include "tests/support/data.hpp"

namespace leafturn::fetch {
namespace {

namespace fs = std::filesystem;

class Copies : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = test::fresh_folder(std::string("copies-") + testing::UnitTest::GetInstance()->current_test_info()->name()) + "/cache/weather";
  }
  std::vector<std::string> files() const {
    std::vector<std::string> found;
    for (const auto& entry : fs::directory_iterator(folder_)) found.push_back(entry.path().string());
    return found;
  }
  const Address address_ = parse_address("https://example.org/a.csv?key=secret").value();
  const Copy copy_{
      {"\"x: y\"", "Mon, 01 Jun 2026 00:00:00 GMT"}, Instant::parse("2026-06-11T12:00:00Z").value(), std::string("a\n\n\0b", 5)};
  std::string folder_;
};

TEST_F(Copies, come_back_as_they_were) {
  EXPECT_FALSE(read_copy(folder_, address_));
  ASSERT_TRUE(write_copy(folder_, address_, copy_));
  const auto back = read_copy(folder_, address_);
  ASSERT_TRUE(back);
  EXPECT_EQ(back->validators.etag, copy_.validators.etag);
  EXPECT_EQ(back->validators.last_modified, copy_.validators.last_modified);
  EXPECT_EQ(back->fetched, copy_.fetched);
  EXPECT_EQ(back->bytes, copy_.bytes);
  EXPECT_FALSE(read_copy(folder_, parse_address("https://example.org/a.csv?key=other").value()));
  ASSERT_TRUE(write_copy(folder_, address_, {{}, copy_.fetched, "new"}));
  EXPECT_EQ(read_copy(folder_, address_)->bytes, "new");
  EXPECT_EQ(files().size(), 1U) << "nothing is left beside";
}

TEST_F(Copies, are_the_owners_and_say_no_address) {
  ASSERT_TRUE(write_copy(folder_, address_, copy_));
  const std::string path = files().at(0);
  struct stat about{};
  ASSERT_EQ(stat(path.c_str(), &about), 0);
  EXPECT_EQ(about.st_mode & 0777U, 0600U);
  EXPECT_EQ((path + test::read_file(path)).find("example"), std::string::npos);
  EXPECT_EQ((path + test::read_file(path)).find("secret"), std::string::npos);
}

TEST_F(Copies, damaged_ones_are_none) {
  ASSERT_TRUE(write_copy(folder_, address_, copy_));
  const std::string path = files().at(0);
  const std::string whole = test::read_file(path);
  for (std::size_t i = 0; i < whole.size(); ++i) {
    std::ofstream(path, std::ios::binary | std::ios::trunc) << whole.substr(0, i);
    EXPECT_FALSE(read_copy(folder_, address_)) << "cut at " << i;
  }
  std::string changed = whole;
  changed.back() = 'c';
  std::ofstream(path, std::ios::binary | std::ios::trunc) << changed;
  EXPECT_FALSE(read_copy(folder_, address_));
}

TEST_F(Copies, that_cannot_be_written_are_told_and_leave_the_old_one) {
  fs::create_directories(fs::path(folder_).parent_path());
  std::ofstream{folder_} << "a file where the folder should be";
  const auto written = write_copy(folder_, address_, copy_);
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, "file.cannot_write");
  EXPECT_EQ(test::read_file(folder_), "a file where the folder should be");
}

}  // namespace
}  // namespace leafturn::fetch
