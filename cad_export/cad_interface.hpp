// What the program asks of the CAD module, without OpenCASCADE: the module is loaded only when a
// command needs it, since loading its kernel costs more than most commands do.
#pragma once

#include "core/plate/reed_blank.hpp"
#include "core/plate/set_parts.hpp"

#include <stdexcept>
#include <string>

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

    /// The text of a STEP file of a whole set as assembled(set), in millimetres: the root named as given holds an
    /// assembly for each plate (the plate, its tongues, its rivets) and the comb. Products, occurrences and solids are
    /// named as parts_of(set) names them, all in ASCII and no two products alike. Coloured by alloy; the same set gives
    /// the same bytes, always; calls from several threads wait for each other.
    /// Throws KernelFailure naming the part whose solid is not sound or not of the analytic volume within 1e-6,
    /// std::invalid_argument for a set without plates, an outline or a tongue that cannot be drawn.
    std::string (*step_of_set)(const PlateSet& set, const std::string& name, StepSchema schema);

    /// The text of a STEP file of one part of parts_of(), in its own frame, likewise. Throws as step_of_set does.
    std::string (*step_of_part)(const SetPart& part, StepSchema schema);

    /// The set as assembled in binary glTF 2.0 (ISO/IEC 12113), for viewing: metres, y up, a node for each assembly and
    /// part named as in the STEP file, triangles within 2 um of round walls, coloured by alloy. The same set gives the
    /// same bytes. Writes through a folder of its own among the temporary files, and removes it.
    /// Throws as step_of_set does, std::runtime_error when there is no place for temporary files.
    std::string (*glb_of_set)(const PlateSet& set, const std::string& name);
};

}  // namespace reedwright

/// The module's one symbol. The module must stay loaded as long as an exception of its lives.
extern "C" __attribute__((visibility("default"))) const reedwright::CadInterface* reedwright_cad_interface();
