// Leakage and its mends in words.
#pragma once

#include "core/plan/note_leaks.hpp"

#include <string>

namespace reedwright::app {

/// What is done to one reed or joint, or to a whole row or plate: "a valve over 3 draw".
std::string mend_text(const Design& design, MendKind kind, const std::string& name);
/// Whether a saving is more than nothing at the digits that flows are told to.
bool shows_as_saved(VolumeFlow saved);
/// What saves most, "a valve over 3 draw: 43.8 less"; nothing where it would save nothing at the digits shown.
std::string first_mend_text(const Design& design, const NoteLeak& leak);
/// The notes that play, "C4 C5".
std::string notes_of(const Design& design, const CellNote& note);

}  // namespace reedwright::app
