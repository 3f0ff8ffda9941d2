// What the program asks of the CAD module, without OpenCASCADE: the module is loaded only when a
// command needs it, since loading its kernel costs more than most commands do.
#pragma once

#include "core/plate/reed_blank.hpp"
#include "core/plate/set_parts.hpp"

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

namespace reedwright {

/// The edition of STEP (ISO 10303) to write.
enum class StepSchema { ap242, ap214 };

/// The CAD kernel refused or spoiled a part: our fault or its own, never the user's.
class __attribute__((visibility("default"))) KernelFailure : public std::runtime_error {
public:
    KernelFailure(std::string part, const std::string& reason)
        : std::runtime_error("the CAD kernel failed on \"" + part + "\": " + reason), part_(std::move(part)) {}
    /// The name of the part, or of the assembly.
    const std::string& part() const { return part_; }

private:
    std::string part_;
};

/// The solids of a set of plates, drawn once for all its files. Every file has the same bytes for the same set, in any
/// process and whatever was asked before. Calls from several threads wait for each other.
class __attribute__((visibility("default"))) DrawnSet {
public:
    DrawnSet() = default;
    virtual ~DrawnSet() = default;
    DrawnSet(const DrawnSet&) = delete;
    DrawnSet& operator=(const DrawnSet&) = delete;

    /// parts_of() the set.
    virtual const std::vector<SetPart>& parts() const = 0;

    /// The text of a STEP file of the assembly, in millimetres, coloured by alloy. Throws KernelFailure.
    virtual std::string step(StepSchema schema) const = 0;

    /// The text of a STEP file of one part alone, in its own frame: plates from z = 0 up, tongues along x from the root
    /// line with their flat side on z = 0. Throws KernelFailure; std::out_of_range for an index beyond the parts.
    virtual std::string step_of_part(std::size_t part, StepSchema schema) const = 0;

    /// The assembly in binary glTF 2.0 (ISO/IEC 12113), for viewers: metres, y up, a node for each assembly and part
    /// named as its occurrence, triangles within 5 um of round walls, coloured by alloy. Goes through a folder of its
    /// own among the temporary files, which it removes.
    /// Throws KernelFailure; std::runtime_error when there is no place for temporary files.
    virtual std::string glb() const = 0;
};

/// Grows whenever CadInterface or a type that passes through it changes.
inline constexpr unsigned cad_interface_version = 2;

/// The functions of a module.
struct CadInterface {
    /// First member for ever, so that a reader can refuse a module of another version.
    unsigned version;

    /// The text of a STEP file: the assembly of plate and tongue, in millimetres, x along the tongue
    /// from the root line, z up from the plate's lower face, the tongue on its upper face. Products,
    /// occurrences and solids are named in ASCII and coloured by alloy. The same blank gives the same
    /// bytes, always; calls from several threads wait for each other.
    /// Throws KernelFailure when a solid is not sound or its volume is not the analytic one within
    /// 1e-6, std::invalid_argument when an outline's corner radius does not fit.
    std::string (*step_of_blank)(const ReedBlank& blank, StepSchema schema);

    /// Draws a whole set as assembled(set) under the name given to its root: an assembly for each plate (the plate, its
    /// tongues, its rivets) and the comb. Products, occurrences and solids are named as parts_of(set) names them, in
    /// ASCII and no two products alike.
    /// Throws KernelFailure naming the part whose solid is not sound or not of the analytic volume within 1e-6;
    /// std::invalid_argument for a set without plates, an outline, a tongue or rivets that cannot be drawn.
    std::unique_ptr<const DrawnSet> (*draw_set)(const PlateSet& set, const std::string& name);
};

}  // namespace reedwright

/// The module's one symbol. The module must stay loaded as long as an exception of its lives.
extern "C" __attribute__((visibility("default"))) const reedwright::CadInterface* reedwright_cad_interface();
