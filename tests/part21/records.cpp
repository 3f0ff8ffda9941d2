#include "tests/part21/part21.hpp"

#include <cctype>

namespace part21 {

namespace {

class Reader {
public:
    explicit Reader(const std::string& text) : text_(text) {}

    Records file() {
        Records records;
        expect("ISO-10303-21;");
        expect("HEADER;");
        while (!take("ENDSEC;")) {
            auto [type, values] = record();
            records.header[type] = std::move(values);
            expect(";");
        }
        expect("DATA;");
        while (!take("ENDSEC;")) {
            expect("#");
            const std::size_t id = natural();
            expect("=");
            Instance instance;
            if (take("(")) {
                while (!take(")")) instance.insert(record());
            } else {
                instance.insert(record());
            }
            expect(";");
            if (!records.data.emplace(id, std::move(instance)).second)
                throw Fault("#" + std::to_string(id) + " stands twice");
        }
        expect("END-ISO-10303-21;");
        return records;
    }

private:
    void skip() {
        for (;;) {
            while (at_ < text_.size() && std::isspace(static_cast<unsigned char>(text_[at_]))) ++at_;
            if (text_.compare(at_, 2, "/*") != 0) return;
            at_ = text_.find("*/", at_);
            if (at_ == std::string::npos) throw Fault("a comment does not end");
            at_ += 2;
        }
    }
    bool take(const std::string& token) {
        skip();
        if (text_.compare(at_, token.size(), token) != 0) return false;
        at_ += token.size();
        return true;
    }
    void expect(const std::string& token) {
        if (!take(token)) throw Fault("'" + token + "' expected before: " + text_.substr(at_, 40));
    }
    std::string while_in(const char* extra) {
        std::string word;
        while (at_ < text_.size() && (std::isalnum(static_cast<unsigned char>(text_[at_])) ||
                                      std::string(extra).find(text_[at_]) != std::string::npos))
            word += text_[at_++];
        return word;
    }
    std::size_t natural() {
        const std::string digits = while_in("");
        if (digits.empty() || digits.find_first_not_of("0123456789") != std::string::npos)
            throw Fault("not a number: " + digits);
        return std::stoul(digits);
    }
    std::pair<std::string, std::vector<Value>> record() {
        skip();
        const std::string type = while_in("_");
        expect("(");
        return {type, list()};
    }
    std::vector<Value> list() {
        std::vector<Value> values;
        if (take(")")) return values;
        do values.push_back(value());
        while (take(","));
        expect(")");
        return values;
    }
    Value value() {
        skip();
        Value value;
        if (take("$") || take("*")) return value;
        if (take("#")) {
            value.kind = Value::Kind::reference;
            value.reference = natural();
        } else if (take("(")) {
            value.kind = Value::Kind::list;
            value.items = list();
        } else if (take("'")) {
            value.kind = Value::Kind::text;
            while (text_.at(at_) != '\'' || text_.at(at_ + 1) == '\'') {
                if (text_[at_] == '\'') ++at_;
                // A string may be broken over lines; the break is no part of it.
                if (text_[at_] != '\n') value.text += text_[at_];
                ++at_;
            }
            ++at_;
        } else if (take(".")) {
            value.kind = Value::Kind::word;
            value.text = while_in("_");
            expect(".");
        } else if (std::isalpha(static_cast<unsigned char>(text_.at(at_)))) {
            value.kind = Value::Kind::list;
            value.items = record().second;
        } else {
            value.kind = Value::Kind::number;
            const std::string digits = while_in("+-.");
            std::size_t used = 0;
            try {
                value.number = std::stod(digits, &used);
            } catch (const std::logic_error&) {
                used = 0;
            }
            if (digits.empty() || used != digits.size()) throw Fault("not a number: '" + digits + "'");
        }
        return value;
    }

    const std::string& text_;
    std::size_t at_ = 0;
};

void check_references(const Records& records, const std::vector<Value>& values) {
    for (const Value& value : values) {
        if (value.kind == Value::Kind::reference && !records.data.contains(value.reference))
            throw Fault("#" + std::to_string(value.reference) + " is referred to but missing");
        check_references(records, value.items);
    }
}

}  // namespace

Records read_records(const std::string& text) {
    Records records;
    try {
        records = Reader(text).file();
    } catch (const std::out_of_range&) {
        throw Fault("the file ends too early");
    }
    for (const auto& [id, instance] : records.data)
        for (const auto& [type, values] : instance) check_references(records, values);
    return records;
}

const std::vector<Value>& Records::as(std::size_t id, const std::string& type) const {
    const Instance& instance = data.at(id);
    const auto found = instance.find(type);
    if (found == instance.end()) throw Fault("#" + std::to_string(id) + " is not a " + type);
    return found->second;
}

bool Records::is(std::size_t id, const std::string& type) const {
    return data.at(id).contains(type);
}

std::vector<std::size_t> Records::all(const std::string& type) const {
    std::vector<std::size_t> found;
    for (const auto& [id, instance] : data)
        if (instance.contains(type)) found.push_back(id);
    return found;
}

void require_millimetres(const Records& records) {
    const auto contexts = records.all("GLOBAL_UNIT_ASSIGNED_CONTEXT");
    if (contexts.empty()) throw Fault("no context has units");
    for (const std::size_t context : contexts) {
        int lengths = 0;
        int angles = 0;
        for (const Value& unit : records.as(context, "GLOBAL_UNIT_ASSIGNED_CONTEXT").at(0).items) {
            const bool length = records.is(unit.reference, "LENGTH_UNIT");
            const bool angle = records.is(unit.reference, "PLANE_ANGLE_UNIT");
            const auto& si = records.as(unit.reference, "SI_UNIT");
            if (length && (si.at(0).text != "MILLI" || si.at(1).text != "METRE"))
                throw Fault("lengths are not in millimetres");
            if (angle && (si.at(0).kind != Value::Kind::nothing || si.at(1).text != "RADIAN"))
                throw Fault("angles are not in radians");
            lengths += length;
            angles += angle;
        }
        if (lengths != 1 || angles != 1) throw Fault("a context needs one unit of length and one of angle");
    }
}

}  // namespace part21
