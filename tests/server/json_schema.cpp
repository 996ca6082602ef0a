#include "tests/server/json_schema.hpp"

#include <regex>
#include <set>

namespace leafturn::test {
namespace {

using nlohmann::json;

class Checker {
 public:
  explicit Checker(const json& document) : document_{document} {}

  void check(const json& schema, const json& value, const std::string& place) {
    static const std::set<std::string> known{"type",    "enum",     "properties",  "required", "additionalProperties",
                                             "items",   "minItems", "maxItems",    "minimum",  "maximum",
                                             "pattern", "oneOf",    "description", "$ref"};
    for (const auto& [keyword, unused] : schema.items()) {
      if (known.count(keyword) == 0) problem(place, "the schema uses '" + keyword + "', which the checker doesn't know");
    }
    if (schema.contains("$ref")) {
      const std::string pointer = schema["$ref"].get<std::string>();
      if (pointer.rfind("#/", 0) != 0 || !document_.contains(json::json_pointer(pointer.substr(1))))
        return problem(place, "no such $ref: " + pointer);
      return check(document_[json::json_pointer(pointer.substr(1))], value, place);
    }
    if (schema.contains("type") && !type_fits(schema["type"], value))
      return problem(place, "is " + value.dump() + ", not " + schema["type"].dump());
    if (schema.contains("enum") && std::find(schema["enum"].begin(), schema["enum"].end(), value) == schema["enum"].end()) {
      problem(place, value.dump() + " is none of " + schema["enum"].dump());
    }
    if (schema.contains("oneOf")) one_of(schema["oneOf"], value, place);
    if (value.is_object()) object(schema, value, place);
    if (value.is_array()) array(schema, value, place);
    if (value.is_number()) number(schema, value, place);
    if (value.is_string() && schema.contains("pattern") &&
        !std::regex_search(value.get<std::string>(), std::regex(schema["pattern"].get<std::string>()))) {
      problem(place, value.dump() + " doesn't match " + schema["pattern"].dump());
    }
  }

  std::vector<std::string> problems;

 private:
  void problem(const std::string& place, const std::string& what) { problems.push_back((place.empty() ? "/" : place) + ": " + what); }

  static bool is(const std::string& type, const json& value) {
    if (type == "object") return value.is_object();
    if (type == "array") return value.is_array();
    if (type == "string") return value.is_string();
    if (type == "integer") return value.is_number_integer();
    if (type == "number") return value.is_number();
    if (type == "boolean") return value.is_boolean();
    return type == "null" && value.is_null();
  }
  static bool type_fits(const json& type, const json& value) {
    if (type.is_string()) return is(type.get<std::string>(), value);
    return std::any_of(type.begin(), type.end(), [&](const json& one) { return is(one.get<std::string>(), value); });
  }
  void one_of(const json& choices, const json& value, const std::string& place) {
    int fits = 0;
    for (const auto& choice : choices) {
      Checker one{document_};
      one.check(choice, value, place);
      if (one.problems.empty()) ++fits;
    }
    if (fits != 1) problem(place, std::to_string(fits) + " of the choices fit " + value.dump().substr(0, 200));
  }
  void object(const json& schema, const json& value, const std::string& place) {
    for (const auto& name : schema.value("required", json::array())) {
      if (!value.contains(name.get<std::string>())) problem(place, "lacks " + name.dump());
    }
    const json properties = schema.value("properties", json::object());
    for (const auto& [name, member] : value.items()) {
      const std::string inner = place + "/" + name;
      if (properties.contains(name)) {
        check(properties[name], member, inner);
      } else if (schema.contains("additionalProperties")) {
        const auto& more = schema["additionalProperties"];
        if (more.is_object())
          check(more, member, inner);
        else if (!more.get<bool>())
          problem(inner, "is not in the document");
      }
    }
  }
  void array(const json& schema, const json& value, const std::string& place) {
    if (schema.contains("minItems") && value.size() < schema["minItems"].get<std::size_t>()) problem(place, "has too few items");
    if (schema.contains("maxItems") && value.size() > schema["maxItems"].get<std::size_t>()) problem(place, "has too many items");
    if (!schema.contains("items")) return;
    for (std::size_t i = 0; i < value.size(); ++i) check(schema["items"], value[i], place + "/" + std::to_string(i));
  }
  void number(const json& schema, const json& value, const std::string& place) {
    if (schema.contains("minimum") && value.get<double>() < schema["minimum"].get<double>()) problem(place, value.dump() + " is too small");
    if (schema.contains("maximum") && value.get<double>() > schema["maximum"].get<double>()) problem(place, value.dump() + " is too large");
  }

  const json& document_;
};

}  // namespace

std::vector<std::string> schema_problems(const json& document, const json& schema, const json& value) {
  Checker checker{document};
  checker.check(schema, value, "");
  return checker.problems;
}

}  // namespace leafturn::test
