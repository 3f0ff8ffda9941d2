// The commands of the program. Each takes what the command line said and returns the exit code.
//
// Errors leave as exceptions: InputError for what the user can mend, anything else is our fault.
#pragma once

#include "app/reed_source.hpp"
#include "app/report.hpp"
#include "core/input/diagnostic.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace reedwright::app {

/// Exit codes that other programs may rely on.
enum ExitCode : int { done = 0, bad_input = 1, wrong_usage = 2, our_fault = 3, check_failed = 4 };

struct PitchRequest {
    ReedSource source;
    std::string tier = "strip";
    bool explain = false;
    /// A pressure, for the sounding pitch; may be empty.
    std::string under;
    std::string picture;
    bool replace = false;
    bool json = false;
};
int run_pitch(const PitchRequest& request, const Console& console);

struct WhereRequest {
    ReedSource source;
    std::string tier = "strip";
    std::string picture;
    bool replace = false;
    bool json = false;
};
int run_where(const WhereRequest& request, const Console& console);

struct CutRequest {
    ReedSource source;
    std::string tier = "strip";
    std::string zone;
    std::string depth;
    std::string ramp = "0.1 mm";
    std::string reading;
    /// The pressure at which the reading was blown; empty when plucked.
    std::string under;
    std::string want;
    std::string trust;
    std::string overshoot = "5 %";
    std::string shape = "flat";
    std::string share = "100 %";
    std::string swing;
    std::string log;
    std::string took;
    std::string strokes;
    bool again = false;
    bool json = false;
};
int run_cut(const CutRequest& request, const Console& console);

struct LoadRequest {
    ReedSource source;
    std::string tier = "strip";
    std::string reading;
    std::string want;
    std::string at;
    std::string trust;
    std::string trial;
    std::string trial_reading;
    bool json = false;
};
int run_load(const LoadRequest& request, const Console& console);

struct CalibrateRequest {
    std::string file;
    std::string lot;
    bool replace = false;
    bool json = false;
};
int run_calibrate(const CalibrateRequest& request, const Console& console);

struct RetuneRequest {
    std::string design;
    std::string readings;
    std::string a4;
    std::string temperament;
    std::vector<std::string> offsets;
    std::string beats;
    std::string lot;
    std::string csv;
    std::string html;
    /// A pressure for which each reed is allowed; empty: the design's allowance.
    std::string under;
    bool replace = false;
    bool json = false;
};
int run_retune(const RetuneRequest& request, const Console& console);

struct PlanRequest {
    std::string design;
    /// "stiffness", "stress", "strips", or empty.
    std::string aim;
    /// A pressure for which each reed is allowed; empty: the design's allowance.
    std::string under;
    /// A calibration file; may be empty.
    std::string lot;
    bool json = false;
};
int run_plan(const PlanRequest& request, const Console& console);

struct CheckRequest {
    std::string design;
    /// A calibration file; may be empty.
    std::string lot;
    bool json = false;
};
int run_check(const CheckRequest& request, const Console& console);

struct BendsRequest {
    std::string design;
    /// Empty: the design's playing pressure.
    std::string pressure;
    bool json = false;
};
int run_bends(const BendsRequest& request, const Console& console);

struct LeakRequest {
    std::string design;
    /// Empty: the design's playing pressure.
    std::string pressure;
    bool json = false;
};
int run_leak(const LeakRequest& request, const Console& console);

struct DonorsRequest {
    std::string design;
    std::string stock;
    std::string cell;
    std::string row;
    std::string gap;
    bool json = false;
};
int run_donors(const DonorsRequest& request, const Console& console);

struct MaterialsRequest {
    std::string name;
    bool json = false;
};
int run_materials(const MaterialsRequest& request, const Console& console);

struct ScatterRun {
    ReedSource source;
    std::uint64_t samples = 100000;
    std::uint64_t seed = 1;
    /// 0: as many as the machine has.
    unsigned threads = 0;
    /// A picture of a design's spread; may be empty.
    std::string picture;
    bool replace = false;
    bool json = false;
};
int run_scatter(const ScatterRun& run, const Console& console);
/// Of a whole design.
int run_scatter_design(const ScatterRun& run, const Console& console);

struct BlowRequest {
    ReedSource source;
    std::string pressure;
    std::string sweep;
    std::string chamber;
    std::string picture;
    std::string wave;
    bool replace = false;
    bool json = false;
};
int run_blow(const BlowRequest& request, const Console& console);

struct ShopRequest {
    ReedSource source;
    std::string folder;
    std::string schema = "AP242";
    /// Width of the cut, by half of which the paths of a design are moved aside; empty: none.
    std::string cut_width;
    bool replace = false;
    bool json = false;
};
int run_shop(const ShopRequest& request, const Console& console);
/// The files of a whole design.
int run_shop_design(const ShopRequest& request, const Console& console);

struct SheetRequest {
    ReedSource source;
    /// The page to write.
    std::string file;
    bool replace = false;
    bool json = false;
};
int run_sheet(const SheetRequest& request, const Console& console);

/// Whether a file is a design (it has reeds or a layout) and not a tongue. Throws InputError as reading does.
bool is_design_file(const std::string& file);

struct ListenRequest {
    std::string file;
    std::string from;
    std::string to;
    std::string a4 = "440 Hz";
    /// A longer stretch is refused.
    Time longest = 600.0 * second;
    bool json = false;
};
int run_listen(const ListenRequest& request, const Console& console);

struct PageRequest {
    std::string folder = ".";
    /// 0: any free one.
    int port = 0;
    bool json = false;
};
/// Serves the folder until a signal ends it.
int run_page(const PageRequest& request, const Console& console);

/// The model for a tier's name.
Model model_of(const std::string& tier);

/// A quantity given as an option. Throws InputError naming the option.
template <class Quantity>
Quantity option_quantity(const std::string& option, const std::string& text) {
    const auto value = parse_quantity<Quantity>(text);
    if (!value) throw InputError({Diagnostic{Place{option, 0, 0}, value.error().message, {}, value.error().hint}});
    return *value;
}

/// A pitch given as an option, resolved against the reed's note. Throws InputError when an offset in
/// cents has no note to stand against.
Frequency option_pitch(const std::string& option, const std::string& text, const Reed& reed);

}  // namespace reedwright::app
