#include "core/tongue/profile.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace reedwright {

namespace {

// Places closer than this are one place: far below what a shop can set, far above rounding.
const Length same_place = 1e-9 * metre;

Length between(const Station& a, const Station& b, Length at) {
    const double share = ((at - a.at) / (b.at - a.at)).value();
    return a.value + share * (b.value - a.value);
}

bool same(Length a, Length b) {
    return std::abs((a - b).value()) <= same_place.value();
}

}  // namespace

Profile::Profile(std::vector<Station> stations) : stations_(std::move(stations)) {
    if (stations_.size() < 2) throw std::invalid_argument("a profile needs at least two stations");
    if (!same(stations_.front().at, 0.0 * metre)) throw std::invalid_argument("a profile starts at the root");
    if (stations_.back().at <= same_place) throw std::invalid_argument("a profile needs a length");
    stations_.front().at = 0.0 * metre;
    for (std::size_t i = 1; i < stations_.size(); ++i)
        if (stations_[i].at < stations_[i - 1].at) throw std::invalid_argument("stations are out of order");
}

Profile Profile::constant(Length tongue_length, Length value) {
    return taper(tongue_length, value, value);
}

Profile Profile::taper(Length tongue_length, Length at_root, Length at_tip) {
    return Profile({{0.0 * metre, at_root}, {tongue_length, at_tip}});
}

Length Profile::smallest() const {
    return std::min_element(stations_.begin(), stations_.end(),
                            [](const Station& a, const Station& b) { return a.value < b.value; })
        ->value;
}

Length Profile::largest() const {
    return std::max_element(stations_.begin(), stations_.end(),
                            [](const Station& a, const Station& b) { return a.value < b.value; })
        ->value;
}

Length Profile::beyond(Length at) const {
    const auto after = std::find_if(stations_.begin(), stations_.end(),
                                    [&](const Station& s) { return s.at > at && !same(s.at, at); });
    if (after == stations_.end()) return stations_.back().value;
    if (after == stations_.begin()) return stations_.front().value;
    const Station& low = *(after - 1);
    return low.at >= at || same(low.at, at) ? low.value : between(low, *after, at);
}

Length Profile::before(Length at) const {
    const auto next = std::find_if(stations_.begin(), stations_.end(),
                                   [&](const Station& s) { return s.at >= at || same(s.at, at); });
    if (next == stations_.begin()) return stations_.front().value;
    if (next == stations_.end()) return stations_.back().value;
    return same(next->at, at) ? next->value : between(*(next - 1), *next, at);
}

Area Profile::area() const {
    Area sum = 0.0 * metre * metre;
    for (std::size_t i = 1; i < stations_.size(); ++i)
        sum += 0.5 * (stations_[i - 1].value + stations_[i].value) * (stations_[i].at - stations_[i - 1].at);
    return sum;
}

Profile Profile::plus(const Profile& other, double factor) const {
    std::vector<Length> places;
    for (const Station& s : stations_) places.push_back(s.at);
    for (const Station& s : other.stations_) places.push_back(std::min(s.at, length()));
    std::sort(places.begin(), places.end());
    places.erase(std::unique(places.begin(), places.end(), [](Length a, Length b) { return same(a, b); }),
                 places.end());
    places.back() = length();

    std::vector<Station> sum;
    for (const Length& at : places) {
        const Length left = before(at) + factor * other.before(at);
        const Length right = beyond(at) + factor * other.beyond(at);
        const bool inside = at > places.front() && at < places.back();
        if (inside && std::abs((left - right).value()) > 1e-12) sum.push_back({at, left});
        sum.push_back({at, at < places.back() ? right : left});
    }
    return Profile(std::move(sum)).simplified();
}

Profile Profile::cut_short(Length new_length) const {
    if (new_length <= same_place || new_length > length() + same_place)
        throw std::invalid_argument("a profile can only be cut short on the tongue");
    std::vector<Station> kept;
    for (const Station& s : stations_)
        if (s.at < new_length && !same(s.at, new_length)) kept.push_back(s);
    kept.push_back({new_length, before(new_length)});
    return Profile(std::move(kept));
}

Profile Profile::simplified() const {
    std::vector<Station> kept{stations_.front()};
    for (std::size_t i = 1; i + 1 < stations_.size(); ++i) {
        const Station& last = kept.back();
        const Station& here = stations_[i];
        const Station& next = stations_[i + 1];
        const bool near_step = same(last.at, here.at) || same(here.at, next.at);
        const bool repeated = same(last.at, here.at) && std::abs((last.value - here.value).value()) <= 1e-12;
        const bool on_line = !near_step && std::abs((between(last, next, here.at) - here.value).value()) <= 1e-12;
        if (!repeated && !on_line) kept.push_back(here);
    }
    kept.push_back(stations_.back());
    return Profile(std::move(kept));
}

Volume integral_of_product(const Profile& a, const Profile& b) {
    std::vector<Length> places;
    for (const Station& s : a.stations()) places.push_back(s.at);
    for (const Station& s : b.stations()) places.push_back(s.at);
    std::sort(places.begin(), places.end());
    Volume sum = 0.0 * metre * metre * metre;
    for (std::size_t i = 1; i < places.size(); ++i) {
        const Length from = places[i - 1];
        const Length to = places[i];
        if (same(from, to)) continue;
        // Simpson's rule is exact for the product of two straight lines.
        const Length a0 = a.beyond(from), a1 = a.before(to), b0 = b.beyond(from), b1 = b.before(to);
        const Area middle = 0.25 * (a0 + a1) * (b0 + b1);
        sum += (to - from) / 6.0 * (a0 * b0 + 4.0 * middle + a1 * b1);
    }
    return sum;
}

}  // namespace reedwright
