// The air that each note of a design loses, and what saves most of it.
#pragma once

#include "core/plan/cell_notes.hpp"
#include "core/wind/mend.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// Through the joints of a note's cell with either kind of fixing, all else as the design has it.
struct JointsByFixing {
    VolumeFlow screws;
    VolumeFlow pins;
};

struct NoteLeak {
    CellNote note;
    /// Of the reeds that play, averaged over time while they sound; zero when one of them does not.
    VolumeFlow own;
    /// False: at least one does not speak at the pressure, or so barely that its swing does not settle, and the note
    /// has no air of its own to hold its loss against.
    bool speaks = true;
    VolumeFlow past_reeds;
    VolumeFlow through_joints;
    JointsByFixing by_fixing;
    /// Parts of the loss and what mends them.
    MendRanking ranking;

    /// Shares of the own flow of a note that speaks.
    double lost_share() const { return (ranking.loss / own).value(); }
    double joint_share() const { return (through_joints / own).value(); }
};

/// One kind of mend done to a whole row of reeds or to a whole plate.
struct WholeMend {
    MendKind kind;
    /// Row or plate.
    std::string name;
    /// Summed over all notes, each played by itself; and as a share of what all lose.
    VolumeFlow saved;
    double share;
    /// Notes that it helps.
    std::size_t notes;
};

struct DesignLeaks {
    Pressure pressure;
    /// In the order of cell_notes().
    std::vector<NoteLeak> notes;
    /// Sums over the notes that speak.
    VolumeFlow own;
    VolumeFlow loss_while_speaking;
    JointsByFixing by_fixing;
    /// Sum over all notes.
    VolumeFlow loss;
    /// Most saved first.
    std::vector<WholeMend> mends;
    /// The plates lie on a comb with screws or pins, whose joints were looked at.
    bool joints_known = false;
    std::vector<std::string> assumed;
    /// What was not looked at, and why.
    std::vector<std::string> remarks;

    std::size_t silent() const;
};

/// Every note at a pressure, metal and air as warm as they are played.
///
/// A note's own air is the model's of its swing, whose loss is not known: of one that swings freely it is rather too
/// much and its share lost too small, of one that barely speaks the other way round. Shares are no bounds.
///
/// Idle reeds leak as tongue_leak(), under a valve as idle_leak(). The joints are those between each plate and the
/// comb. A plate is held by up to two lines of fixings, in its back and in its front half; each line carries half of
/// the plate and of the cell's length, a line alone carries all. The span of a cell is that between the nearest
/// fixings of the line to its left and right; beyond the last of them the plate hangs free, and counts as a span of
/// twice the overhang. Of the wind's load only the cell's own counts, spread evenly over the span. The land is the
/// comb's wall to either side, half of the length each, and its back wall. Wax seals (common practice, no source). The
/// way the land is divided is our choice, no source. Throws InputError as blown_reeds() and check_pressure().
DesignLeaks design_leaks(const Design& design, Pressure pressure);

}  // namespace reedwright
