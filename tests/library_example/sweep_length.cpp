// Length of a brass tongue against its pitch: the library alone, no program, no files but the alloy's.
#include <core/material/material_file.hpp>
#include <core/vibration/pitch.hpp>

#include <cstdio>

using namespace reedwright;

int main() {
    const Material brass = read_material_file(REEDWRIGHT_MATERIALS "/cuzn37-r630.yaml");
    std::puts("length mm   pitch Hz   note");
    for (int tenths = 120; tenths <= 180; tenths += 10) {
        const Length length = 0.1 * tenths * millimetre;
        const Profile thickness = Profile::taper(length, 0.16 * millimetre, 0.09 * millimetre);
        const Profile width = Profile::constant(length, 2.0 * millimetre);
        Reed reed{.tongue = {brass, thickness, width, {}}};
        reed.seat = {.give = 0.64, .root_thickness = thickness.at_root(), .root_width = width.at_root()};
        const Frequency pitch = pitch_of(reed).pitch;
        std::printf("%9.1f %10.2f   %s\n", in(length, millimetre), in(pitch, hertz),
                    nearest_note(pitch, reed.a4).name().c_str());
    }
}
