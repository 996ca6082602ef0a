#include "tests/pest/schema.hpp"

#include <toml++/toml.h>
#include <regex>
#include <set>
#include <sstream>

namespace leafturn::test {
namespace {

using nlohmann::json;

bool has_type(const json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "number") return value.is_number();
  if (type == "integer") return value.is_number_integer();
  if (type == "boolean") return value.is_boolean();
  return false;
}

class Validator {
 public:
  explicit Validator(const json& root) : root_{root} {}
  std::vector<std::string> failures;

  void check(const json& schema, const json& value, const std::string& path) {
    if (schema.is_boolean()) {
      if (!schema.get<bool>()) failures.push_back(path + ": not allowed");
      return;
    }
    for (const auto& [keyword, rule] : schema.items()) keyword_of(keyword, rule, schema, value, path);
  }

 private:
  void keyword_of(const std::string& keyword, const json& rule, const json& schema, const json& value, const std::string& path) {
    static const std::set<std::string> silent{"$schema", "$defs", "title", "description"};
    const auto complain = [&](const std::string& why) { failures.push_back(path + ": " + why); };
    if (silent.count(keyword) != 0) return;
    if (keyword == "$ref") {
      check(root_.at(json::json_pointer(rule.get<std::string>().substr(1))), value, path);
    } else if (keyword == "type") {
      if (!has_type(value, rule)) complain("should be " + rule.get<std::string>());
    } else if (keyword == "enum") {
      if (std::find(rule.begin(), rule.end(), value) == rule.end()) complain(value.dump() + " is none of " + rule.dump());
    } else if (keyword == "pattern") {
      if (value.is_string() && !std::regex_search(value.get<std::string>(), std::regex(rule.get<std::string>()))) complain(value.dump());
    } else if (keyword == "minLength") {
      if (value.is_string() && value.get<std::string>().size() < rule.get<std::size_t>()) complain("too short");
    } else if (keyword == "minimum") {
      if (value.is_number() && value.get<double>() < rule.get<double>()) complain("too small");
    } else if (keyword == "maximum") {
      if (value.is_number() && value.get<double>() > rule.get<double>()) complain("too large");
    } else if (keyword == "minItems") {
      if (value.is_array() && value.size() < rule.get<std::size_t>()) complain("too few");
    } else if (keyword == "items") {
      for (std::size_t i = 0; value.is_array() && i < value.size(); ++i) check(rule, value[i], path + "/" + std::to_string(i));
    } else if (keyword == "required") {
      for (const auto& name : rule)
        if (value.is_object() && !value.contains(name.get<std::string>())) complain("lacks " + name.get<std::string>());
    } else if (keyword == "properties") {
      for (const auto& [name, sub] : rule.items())
        if (value.is_object() && value.contains(name)) check(sub, value[name], path + "/" + name);
    } else if (keyword == "additionalProperties") {
      if (!value.is_object()) return;
      for (const auto& [name, sub] : value.items())
        if (!schema.contains("properties") || !schema["properties"].contains(name)) check(rule, sub, path + "/" + name);
    } else if (keyword == "propertyNames") {
      if (!value.is_object()) return;
      for (const auto& [name, sub] : value.items()) check(rule, json(name), path + "/" + name);
    } else if (keyword == "oneOf" || keyword == "anyOf") {
      int fit = 0;
      for (const auto& sub : rule) {
        Validator one(root_);
        one.check(sub, value, path);
        fit += one.failures.empty() ? 1 : 0;
      }
      if (fit == 0 || (fit > 1 && keyword == "oneOf")) complain("fits " + std::to_string(fit) + " of " + keyword);
    } else {
      complain("the schema uses '" + keyword + "', which this check does not know");
    }
  }

  const json& root_;
};

}  // namespace

std::vector<std::string> schema_failures(const json& schema, const json& value) {
  Validator v(schema);
  v.check(schema, value, "");
  return v.failures;
}

json json_of_toml(const std::string& toml) {
  std::ostringstream out;
  out << toml::json_formatter(toml::parse(toml));
  return json::parse(out.str());
}

}  // namespace leafturn::test
