#include "core/wind/mend.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

namespace reedwright {

namespace {

VolumeFlow joint_loss(const PlateJoint& joint, Pressure pressure, const MovingAir& air) {
    return VolumeFlow::from_value(std::abs(joint_leak(joint, pressure, air).flow.value()));
}

}  // namespace

VolumeFlow idle_leak(const IdleReed& reed, Pressure pressure, const MovingAir& air, const Valve& valve) {
    if (!reed.valved || reed.wind == Wind::closing || pressure.value() == 0.0)
        return tongue_leak(reed.tongue, reed.wind, pressure, air).flow;
    double length_m = 0.0;
    for (const ModePoint& point : reed.tongue.points) length_m += point.stretch.value();
    // Around the whole slot, its root end too.
    const ThinSlot under_valve{2.0 * (length_m * metre + reed.tongue.slot_area / (length_m * metre)), valve.gap,
                               valve.overlap};
    const auto over = [&](double tongue_pa) {
        const VolumeFlow past_tongue = tongue_leak(reed.tongue, reed.wind, tongue_pa * pascal, air).flow;
        return (past_tongue - slot_flow(under_valve, pressure - tongue_pa * pascal, air)).value();
    };
    std::uintmax_t iterations = 100;
    constexpr int bits = 40;
    const auto [low, high] = boost::math::tools::toms748_solve(
        over, 0.0, pressure.value(), boost::math::tools::eps_tolerance<double>(bits), iterations);
    // The valve takes nearly all of the pressure, so that its flow keeps its digits.
    return slot_flow(under_valve, pressure - 0.5 * (low + high) * pascal, air);
}

MendRanking rank_mends(const LeakyCell& cell, Pressure pressure, const MovingAir& air, const Valve& valve) {
    const Pressure size = Pressure::from_value(std::abs(pressure.value()));
    MendRanking ranking;
    const auto try_mend = [&](MendKind kind, const std::string& name, VolumeFlow before, VolumeFlow after) {
        if (after < before) ranking.mends.push_back({kind, name, before - after, 0.0});
    };
    for (const IdleReed& reed : cell.reeds) {
        const VolumeFlow flow = idle_leak(reed, size, air, valve);
        ranking.parts.push_back({reed.name, LeakKind::reed, flow, 0.0});
        if (reed.tongue.clearance > closer_clearance) {
            IdleReed closer = reed;
            closer.tongue.clearance = closer_clearance;
            try_mend(MendKind::closer_clearance, reed.name, flow, idle_leak(closer, size, air, valve));
        }
        if (!reed.valved && reed.wind == Wind::opening) {
            IdleReed valved = reed;
            valved.valved = true;
            try_mend(MendKind::valve, reed.name, flow, idle_leak(valved, size, air, valve));
        }
    }
    for (const NamedJoint& joint : cell.joints) {
        const VolumeFlow flow = joint_loss(joint.joint, pressure, air);
        ranking.parts.push_back({joint.name, LeakKind::joint, flow, 0.0});
        const auto try_joint = [&](MendKind kind, const PlateJoint& mended) {
            try_mend(kind, joint.name, flow, joint_loss(mended, pressure, air));
        };
        PlateJoint halved = joint.joint;
        halved.spacing *= 0.5;
        try_joint(MendKind::another_fastener, halved);
        if (joint.joint.fastener.clamp.value() == 0.0) {
            PlateJoint clamped = joint.joint;
            clamped.fastener = small_screw;
            try_joint(MendKind::screws, clamped);
        }
        PlateJoint flat = joint.joint;
        flat.out_of_flat = 0.0 * metre;
        try_joint(MendKind::flat_plate, flat);
    }
    for (const LeakPart& part : ranking.parts) ranking.loss += part.flow;
    if (ranking.loss.value() > 0.0) {
        for (LeakPart& part : ranking.parts) part.share = (part.flow / ranking.loss).value();
        for (Mend& mend : ranking.mends) mend.share = (mend.saved / ranking.loss).value();
    }
    std::stable_sort(ranking.parts.begin(), ranking.parts.end(),
                     [](const LeakPart& a, const LeakPart& b) { return a.flow > b.flow; });
    std::stable_sort(ranking.mends.begin(), ranking.mends.end(),
                     [](const Mend& a, const Mend& b) { return a.saved > b.saved; });
    return ranking;
}

}  // namespace reedwright
