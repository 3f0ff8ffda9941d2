#include "core/plan/note_leaks.hpp"

#include "core/plan/comb_cells.hpp"
#include "core/quantity/quantity_text.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/wind/sounding.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

Fastener fastener_of(const Design& design, Fixing kind) {
    Fastener fastener = kind == Fixing::pins ? pin : small_screw;
    if (kind == design.plates->fixing) {
        fastener.clamp = design.air.clamp.value_or(fastener.clamp);
        fastener.bearing_radius = design.air.bearing.value_or(fastener.bearing_radius);
    }
    return fastener;
}

// Along the plate, of the fixings of one half of it.
std::vector<double> line_of(const Plate& plate, bool back) {
    std::vector<double> places_m;
    for (const Hole& hole : plate.fixings)
        if ((hole.centre.y < 0.5 * plate.width) == back) places_m.push_back(hole.centre.x.value());
    std::sort(places_m.begin(), places_m.end());
    return places_m;
}

Length span_at(const std::vector<double>& line_m, double middle_m, double plate_m) {
    const auto right = std::lower_bound(line_m.begin(), line_m.end(), middle_m);
    if (right == line_m.begin()) return 2.0 * line_m.front() * metre;
    if (right == line_m.end()) return 2.0 * (plate_m - line_m.back()) * metre;
    return (*right - *(right - 1)) * metre;
}

// The joints of a cell on a plate, one for each line of fixings.
void add_joints(const Design& design, const Comb& comb, std::size_t index, const Plate& plate, const Fastener& fastener,
                std::vector<NamedJoint>& joints) {
    const CombCell& cell = comb.cells[index];
    const Length left_wall = index == 0 ? cell.left : cell.left - comb.cells[index - 1].right;
    const Length right_wall =
        index + 1 == comb.cells.size() ? plate.length - cell.right : comb.cells[index + 1].left - cell.right;
    const Length depth = plate.width - cell.back, width = cell.right - cell.left;
    const double middle_m = 0.5 * (cell.left + cell.right).value();
    const Material& metal = design.instrument.reeds[plate.tongues.front().reed].reed.slot.plate_material;
    const std::vector<double> lines[] = {line_of(plate, true), line_of(plate, false)};
    for (const bool back : {true, false}) {
        const auto& line = lines[back ? 0 : 1];
        const bool alone = lines[back ? 1 : 0].empty();
        if (line.empty()) continue;
        const double part = alone ? 1.0 : 0.5;
        PlateJoint joint{};
        joint.plate_modulus = metal.youngs_modulus.value;
        joint.plate_thickness = plate.blank.thickness;
        joint.plate_width = part * plate.width;
        joint.spacing = span_at(line, middle_m, plate.length.value());
        joint.fastener = fastener;
        joint.out_of_flat = design.air.out_of_flat;
        joint.straight_edge = design.air.over;
        joint.loaded_width = part * depth * std::min(1.0, (width / joint.spacing).value());
        joint.roughness = design.air.roughness;
        // Lands of several widths count as one of the narrower side wall, so much longer that it leaks as much.
        joint.land_width = std::min(left_wall, right_wall);
        joint.run = joint.land_width * part * (depth / left_wall + depth / right_wall).value();
        if (back || alone) joint.run += joint.land_width * (width / cell.back);
        const std::string half = alone ? "" : back ? ", back" : ", front";
        joints.push_back({plate.blank.name + half, joint});
    }
}

class Leaks {
public:
    Leaks(const Design& design, Pressure pressure) : design_(design), pressure_(pressure) {
        const Instrument& instrument = design.instrument;
        all_.pressure = pressure;
        blown_ = blown_reeds(design, instrument.playing, &all_.assumed);
        for (std::string& told : inlets_taken(design)) all_.assumed.push_back(std::move(told));
        // As the bench's humidity has it, for a breath's is not stated.
        air_ = moving_air(Air{instrument.playing, instrument.bench.humidity});
        look_at_joints();
        // Valves are tried as a mend even where none is stated; the rest is of the joints.
        for (const std::string& told : design.air.assumed)
            if (all_.joints_known || told.starts_with("valves.")) all_.assumed.push_back(told);
    }

    DesignLeaks find() {
        const auto notes = cell_notes(design_);
        all_.notes.resize(notes.size());
        in_parallel(notes.size(), [&](std::size_t i) { all_.notes[i] = leak_of(notes[i]); });
        for (const NoteLeak& note : all_.notes) {
            all_.loss += note.ranking.loss;
            if (note.speaks) {
                all_.own += note.own;
                all_.loss_while_speaking += note.ranking.loss;
                all_.by_fixing.screws += note.by_fixing.screws;
                all_.by_fixing.pins += note.by_fixing.pins;
            }
            for (const Mend& mend : note.ranking.mends) add_to_whole(note, mend);
        }
        for (WholeMend& mend : all_.mends) mend.share = (mend.saved / all_.loss).value();
        std::stable_sort(all_.mends.begin(), all_.mends.end(),
                         [](const WholeMend& a, const WholeMend& b) { return a.saved > b.saved; });
        return std::move(all_);
    }

private:
    void look_at_joints() {
        if (!design_.plates) {
            all_.remarks.emplace_back("no plates are stated: joints were not looked at");
            return;
        }
        if (design_.plates->fixing == Fixing::wax) {
            all_.remarks.emplace_back("plates set in wax: their joints count as sealed (common practice, no source)");
            return;
        }
        set_ = lay_out_plates(plate_reeds(design_.instrument), *design_.plates, design_.comb);
        const bool fixed =
            std::all_of(set_.plates.begin(), set_.plates.end(), [](const auto& one) { return !one.fixings.empty(); });
        if (!set_.comb)
            all_.remarks.emplace_back("no comb is stated: joints were not looked at");
        else if (!fixed)
            all_.remarks.emplace_back("no places of screws or pins are stated: joints were not looked at");
        else
            all_.joints_known = true;
        if (!all_.joints_known) return;
        const AirRules& air = design_.air;
        const Fastener used = fastener_of(design_, design_.plates->fixing);
        if (!air.clamp) all_.assumed.push_back(fmt::format("plates.fixings.clamp {}", to_text(used.clamp)));
        if (!air.bearing && used.clamp.value() > 0.0)
            all_.assumed.push_back(fmt::format("plates.fixings.bearing {}", to_text(used.bearing_radius)));
    }

    NoteLeak leak_of(const CellNote& note) const {
        NoteLeak leak{};
        leak.note = note;
        for (const std::size_t i : note.playing) {
            SoundingRules rules;
            // The flow to far below a percent.
            rules.tolerance = 1e-6;
            const Sounding sounding = sound(blown_[i], pressure_, rules);
            leak.speaks = leak.speaks && sounding.outcome == Outcome::sounds;
            leak.own += sounding.mean_flow;
        }
        if (!leak.speaks) leak.own = 0.0 * millilitre_per_second;
        LeakyCell cell;
        for (const std::size_t i : note.idle) {
            const InstrumentReed& one = design_.instrument.reeds[i];
            cell.reeds.push_back({one.place(), resting_tongue(at_temperature(one.reed, design_.instrument.playing)),
                                  closing_wind(design_, i) == note.wind ? Wind::closing : Wind::opening, one.valved()});
        }
        const Pressure felt = note.wind == CellWind::pressed ? pressure_ : -pressure_;
        if (all_.joints_known) {
            cell.joints = joints_of(note.cell, design_.plates->fixing);
            const auto through = [&](Fixing kind) {
                VolumeFlow sum = 0.0 * millilitre_per_second;
                for (const NamedJoint& joint : joints_of(note.cell, kind))
                    sum += VolumeFlow::from_value(std::abs(joint_leak(joint.joint, felt, air_).flow.value()));
                return sum;
            };
            leak.by_fixing = {through(Fixing::screws), through(Fixing::pins)};
        }
        leak.ranking = rank_mends(cell, felt, air_, design_.air.valve);
        for (const LeakPart& part : leak.ranking.parts)
            (part.kind == LeakKind::joint ? leak.through_joints : leak.past_reeds) += part.flow;
        return leak;
    }

    std::vector<NamedJoint> joints_of(int cell, Fixing kind) const {
        std::vector<NamedJoint> joints;
        const auto& cells = set_.comb->cells;
        const auto here =
            std::find_if(cells.begin(), cells.end(), [&](const CombCell& one) { return one.cell == cell; });
        const auto index = static_cast<std::size_t>(here - cells.begin());
        for (const Plate& plate : set_.plates)
            add_joints(design_, *set_.comb, index, plate, fastener_of(design_, kind), joints);
        return joints;
    }

    void add_to_whole(const NoteLeak& note, const Mend& mend) {
        std::string name = mend.name.substr(0, mend.name.find(','));
        for (const std::size_t i : note.note.idle)
            if (design_.instrument.reeds[i].place() == mend.name) name = design_.instrument.reeds[i].row;
        const auto known = std::find_if(all_.mends.begin(), all_.mends.end(), [&](const WholeMend& whole) {
            return whole.kind == mend.kind && whole.name == name;
        });
        if (known == all_.mends.end()) {
            all_.mends.push_back({mend.kind, name, mend.saved, 0.0, 1});
            counted_.push_back(&note);
            return;
        }
        known->saved += mend.saved;
        // Two joints of one plate are one mend of it.
        const auto index = static_cast<std::size_t>(known - all_.mends.begin());
        if (counted_[index] != &note) ++known->notes;
        counted_[index] = &note;
    }

    const Design& design_;
    Pressure pressure_;
    std::vector<BlownReed> blown_;
    MovingAir air_{};
    PlateSet set_;
    DesignLeaks all_{};
    /// Of each whole mend the note last counted.
    std::vector<const NoteLeak*> counted_;
};

}  // namespace

std::size_t DesignLeaks::silent() const {
    return static_cast<std::size_t>(
        std::count_if(notes.begin(), notes.end(), [](const NoteLeak& one) { return !one.speaks; }));
}

DesignLeaks design_leaks(const Design& design, Pressure pressure) {
    check_pressure(pressure);
    return Leaks(design, pressure).find();
}

}  // namespace reedwright
