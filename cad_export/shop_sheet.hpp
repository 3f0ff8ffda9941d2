// What the drawings of an instrument say beside the plates themselves.
#pragma once

#include "core/plate/plate_set.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// What a shop must know of a reed to make and tune it.
struct ShopReed {
    /// "3 draw": how tables and slots name it.
    std::string place;
    /// The note's name; empty where it has none.
    std::string note;
    /// What the tuner should read on the bench.
    Frequency target;
    /// Free length, width and thickness of the finished tongue.
    Profile width;
    Profile thickness;
    /// Of the strip it is made from; left out: at least its thickest place.
    std::optional<Length> gauge;
    Length rest_gap;
    /// Of the metal when it is tuned.
    Temperature bench;

    Length length() const { return thickness.length(); }
};

enum class Paper { a4, a3 };

/// The plates must outlive the sheet. Texts may hold any UTF-8 and are broken into lines where they are long.
struct ShopSheet {
    const PlateSet& plates;
    /// Of the design.
    std::string name;
    /// A short word that tells this state of the design from others.
    std::string revision;
    /// In the order in which the plates' tongues count them (PlacedTongue::reed).
    std::vector<ShopReed> reeds;
    /// Material and temper of plates, tongues, comb and rivets, a line each.
    std::vector<std::string> materials;
    std::vector<std::string> tolerances;
    /// Edges, faces and flatness, a line each.
    std::vector<std::string> finish;
    std::vector<std::string> cautions;
    /// What holds the plates: "screw M2".
    std::string fixing = "fixing";
    /// Left out: A4 where the plates fit at full size, otherwise A3.
    std::optional<Paper> paper;
};

}  // namespace reedwright
