#include "app/command_line.hpp"

#include "app/commands/commands.hpp"
#include "app/described/command_words.hpp"
#include "app/described/program.hpp"
#include "core/input/diagnostic.hpp"
#include "core/input/section.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <deque>
#include <exception>
#include <functional>
#include <ostream>
#include <string>

namespace reedwright::app {

namespace {

// An empty name of a file is a slip (an unset variable, say), not a wish for no file.
const CLI::Validator& not_empty() {
    static const CLI::Validator validator(
        [](std::string& text) { return text.empty() ? std::string("is empty") : std::string(); }, "", "not empty");
    return validator;
}

// "1e6" for 1000000. Anything that is no whole number is left as it is, for the option itself to refuse.
std::string whole_number(std::string& text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool read = error == std::errc{} && end == text.data() + text.size();
    if (read && value != std::floor(value)) return text + " is not a whole number";
    if (read && value >= 0.0 && value <= 1e15) text = std::to_string(static_cast<std::uint64_t>(value));
    return {};
}

// Holds what the options of one command are parsed into until it runs.
struct SourceTexts {
    std::string file;
    std::string lot;
    std::deque<std::string> values;

    ReedSource source() const {
        ReedSource result{file, {}, lot};
        for (std::size_t i = 0; i < values.size(); ++i)
            if (!values[i].empty()) result.options.emplace_back(source_options()[i].option, values[i]);
        return result;
    }
};

void add_lot(CLI::App& command, std::string& lot) {
    command.add_option("--lot", lot, "calibration of the lot and the seats, as 'calibrate' writes it")
        ->check(not_empty());
}

void add_source(CLI::App& command, SourceTexts& texts) {
    command.add_option("FILE", texts.file, "tongue file (YAML); scatter, shop and sheet take a design too");
    for (const SourceOption& known : source_options()) {
        texts.values.emplace_back();
        command.add_option(known.option, texts.values.back(), known.help)->group("In place of FILE");
    }
    add_lot(command, texts.lot);
    command.parse_complete_callback([&texts] {
        const bool options = std::any_of(texts.values.begin(), texts.values.end(),
                                         [](const std::string& value) { return !value.empty(); });
        if (texts.file.empty() && !options)
            throw CLI::RequiredError("FILE, or --material, --length, --width and --thickness");
        if (!texts.file.empty() && options)
            throw CLI::ValidationError("FILE and dimensions on the command line exclude each other");
    });
}

void add_tier(CLI::App& command, std::string& tier) {
    command
        .add_option("--tier", tier,
                    "strip: a plate, within 1 cent of a solid; beam: the textbook's, 8 to 50 cents flat")
        ->check(CLI::IsMember({"strip", "beam"}))
        ->capture_default_str();
}

void add_json(CLI::App& command, bool& json) {
    command.add_flag("--json", json, "one JSON document on standard output");
}

// What to say when the first word is no command; empty when it is one, or an option.
std::string unknown_command(const CLI::App& program, int count, const char* const* arguments) {
    if (count < 2 || arguments[1][0] == '-') return {};
    const std::string word = arguments[1];
    std::vector<std::string> names;
    for (const CLI::App* command : program.get_subcommands({})) names.push_back(command->get_name());
    if (std::find(names.begin(), names.end(), word) != names.end()) return {};
    const std::string near = nearest_word(word, names);
    return "there is no command '" + word + "'; " +
           (near.empty() ? "'reedwright --help' lists them" : "did you mean " + near + "?");
}

CLI::App* add_command(CLI::App& program, const std::string& name, const std::string& what, const std::string& example) {
    CLI::App* command = program.add_subcommand(name, what);
    command->footer("Example:\n  " + example);
    return command;
}

// Thrown while the arguments are read by an option that answers by itself, without a command.
struct Answer {
    std::string text;
};

}  // namespace

int run_or_throw(int count, const char* const* arguments, const Console& console) {
    CLI::App program{"reedwright: free reeds and reed plates from dimensions to pitch, cuts and shop files",
                     "reedwright"};
    program.set_version_flag("--version", "reedwright " REEDWRIGHT_VERSION);
    program.add_flag_callback(
        "--manual", [&] { throw Answer{manual_page(described(program))}; }, "the manual page, for man");
    program
        .add_option_function<std::string>(
            "--completion",
            [&](const std::string& shell) { throw Answer{completion_script(described(program), shell)}; },
            "a script that lets this shell complete commands, options and names of alloys")
        ->check(CLI::IsMember({"bash", "zsh", "fish"}));
    program.require_subcommand(1);
    program.footer("'reedwright COMMAND --help' shows the options of a command and an example.");
    std::function<int()> chosen;

    PitchRequest pitch;
    SourceTexts pitch_source;
    auto* command = add_command(program, "pitch", "The pitch of a tongue, its uncertainty, and where both come from",
                                "reedwright pitch designs/01_three_tongues/brass_a4.yaml --explain");
    add_source(*command, pitch_source);
    add_tier(*command, pitch.tier);
    command->add_flag("--explain", pitch.explain, "the chain from dimensions to hertz, step by step");
    command->add_option("--under", pitch.under, "the sounding pitch under this pressure too, such as 500Pa");
    command->add_option("--svg", pitch.picture, "write a picture of the first mode shapes")->check(not_empty());
    command->add_flag("--replace", pitch.replace, "write over a file that stands already");
    add_json(*command, pitch.json);
    command->final_callback([&] {
        chosen = [&] {
            pitch.source = pitch_source.source();
            return run_pitch(pitch, console);
        };
    });

    WhereRequest where;
    SourceTexts where_source;
    command = add_command(program, "where", "What metal taken from the top does to the pitch, along the tongue",
                          "reedwright where designs/01_three_tongues/brass_a4.yaml --svg where.svg");
    add_source(*command, where_source);
    add_tier(*command, where.tier);
    command->add_option("--svg", where.picture, "write a picture of the tongue with the map under it")
        ->check(not_empty());
    command->add_flag("--replace", where.replace, "write over a file that stands already");
    add_json(*command, where.json);
    command->final_callback([&] {
        chosen = [&] {
            where.source = where_source.source();
            return run_where(where, console);
        };
    });

    CutRequest cut;
    SourceTexts cut_source;
    command = add_command(program, "cut", "The effect of a cut, or the depth that brings a reading to its target",
                          "reedwright cut designs/01_three_tongues/brass_a4.yaml --read -12c --want A4\n  reedwright "
                          "cut designs/01_three_tongues/brass_a4.yaml --zone 12mm..15mm --depth 5um\n  reedwright cut "
                          "designs/01_three_tongues/brass_a4.yaml --read -12c --want A4 --zone tip --log a4.log");
    add_source(*command, cut_source);
    add_tier(*command, cut.tier);
    command->add_option("--zone", cut.zone,
                        "tip or root, a fifth of the length there; outer (beyond the neutral place), inner (from the "
                        "root up to it) or middle (the half of inner away from the root); or two distances from the "
                        "root, 12mm..15mm; left out with a reading, the best is found");
    auto* depth = command->add_option("--depth", cut.depth, "depth taken; the effect is told");
    auto* read = command->add_option("--read", cut.reading,
                                     "what the tuner reads: 437.2Hz, A4-12c, or -12c against the file's note");
    auto* want = command->add_option("--want", cut.want, "what it should read: A4, A4+3c, 440Hz");
    command
        ->add_option("--under", cut.under,
                     "the reading was blown at this pressure, such as 500Pa, and not plucked: what the breath takes is "
                     "given back")
        ->needs(read);
    read->needs(want);
    want->needs(read);
    depth->excludes(read);
    command->add_option("--ramp", cut.ramp, "length of the ramps inside both ends of the zone; 0mm is a sharp step")
        ->capture_default_str();
    command
        ->add_option("--trust", cut.trust,
                     "dimensions: leave them as given instead of letting the reading correct them")
        ->check(CLI::IsMember({"dimensions"}))
        ->excludes(depth);
    auto* shape =
        command
            ->add_option(
                "--shape", cut.shape,
                "flat; v-groove or round-groove, a scratch across with the zone as its mouth; lines, scratches "
                "along; round-tip, the depth being the radius; narrow, the depth being width")
            ->check(CLI::IsMember({"flat", "v-groove", "round-groove", "lines", "round-tip", "narrow"}))
            ->capture_default_str();
    auto* share = command->add_option("--share", cut.share, "of the width, for lines")->capture_default_str();
    auto* swing = command->add_option(
        "--swing", cut.swing,
        "playing swing at the tip, half of peak to peak, for stress and life; 6 % of the length when left out");
    auto* log =
        command
            ->add_option(
                "--log", cut.log,
                "log of this reed: the reading is added, the passes so far are learnt from, the next is proposed")
            ->check(not_empty())
            ->needs(read)
            ->excludes(depth)
            ->excludes(shape)
            ->excludes(share)
            ->excludes(swing);
    command
        ->add_option("--took", cut.took,
                     "with --log: depth taken since the last reading, when it is not what was proposed")
        ->needs(log);
    command->add_option("--strokes", cut.strokes, "with --log: strokes since the last reading")->needs(log);
    command
        ->add_flag("--again", cut.again,
                   "with --log: metal was taken although the reading is the same as the one before")
        ->needs(log);
    command->add_option("--overshoot", cut.overshoot, "chance that the first pass goes past the target")
        ->capture_default_str()
        ->excludes(depth);
    add_json(*command, cut.json);
    command->final_callback([&, share] {
        if (share->count() > 0 && cut.shape != "lines")
            throw CLI::ValidationError("--share", "goes with --shape lines alone");
        if (cut.depth.empty() && cut.reading.empty()) throw CLI::RequiredError("--depth, or --read and --want");
        const bool finds_zone = cut.depth.empty() && cut.log.empty();
        if (cut.zone.empty() && !finds_zone && cut.shape != "round-tip") throw CLI::RequiredError("--zone");
        chosen = [&] {
            cut.source = cut_source.source();
            return run_cut(cut, console);
        };
    });

    LoadRequest load;
    SourceTexts load_source;
    command = add_command(program, "load", "The mass at the tip that lowers a reading to its target",
                          "reedwright load designs/01_three_tongues/brass_a4.yaml --read +9c --want A4");
    add_source(*command, load_source);
    add_tier(*command, load.tier);
    command->add_option("--read", load.reading, "what the tuner reads")->required();
    command->add_option("--want", load.want, "what it should read")->required();
    command->add_option("--at", load.at, "distance of the load from the root; at the tip when left out");
    auto* trial = command->add_option("--trial", load.trial,
                                      "a trial weight put at the same place (a dab of wax and metal powder)");
    auto* trial_reads =
        command->add_option("--trial-reads", load.trial_reading, "what the tuner reads with the trial weight")
            ->needs(trial);
    trial->needs(trial_reads);
    command
        ->add_option("--trust", load.trust,
                     "dimensions: leave them as given instead of letting the reading correct them")
        ->check(CLI::IsMember({"dimensions"}));
    add_json(*command, load.json);
    command->final_callback([&] {
        chosen = [&] {
            load.source = load_source.source();
            return run_load(load, console);
        };
    });

    CalibrateRequest calibrate;
    command =
        add_command(program, "calibrate", "What measured tongues say about their lot of strip and the shop's seats",
                    "reedwright calibrate designs/01_three_tongues/measured_brass.yaml --out lot.yaml");
    command->add_option("MEASURED", calibrate.file, "table of measured tongues (YAML)")->required();
    command->add_option("--out", calibrate.lot, "write the calibration, for --lot of other commands")
        ->check(not_empty());
    command->add_flag("--replace", calibrate.replace, "write over a file that stands already");
    add_json(*command, calibrate.json);
    command->final_callback([&] { chosen = [&] { return run_calibrate(calibrate, console); }; });

    PlanRequest plan;
    command = add_command(program, "plan", "From the notes of a design to the tongues that sound them",
                          "reedwright plan designs/03_ten_hole_brass/equal.yaml");
    command->add_option("DESIGN", plan.design, "design (YAML)")->required();
    command
        ->add_option("--aim", plan.aim,
                     "bow the length scale for the evenest tip stiffness, the least stress, or the fewest strips")
        ->check(CLI::IsMember({"stiffness", "stress", "strips"}));
    command->add_option("--under", plan.under,
                        "set each reed as much sharper as this breath and the warmth take from it, such as 500Pa, in "
                        "place of the design's one allowance");
    add_lot(*command, plan.lot);
    add_json(*command, plan.json);
    command->final_callback([&] { chosen = [&] { return run_plan(plan, console); }; });

    CheckRequest check;
    command =
        add_command(program, "check", "Whether a design fits, lasts and can be tuned: every finding with its limit",
                    "reedwright check designs/03_ten_hole_brass/equal.yaml");
    command->add_option("DESIGN", check.design, "design (YAML)")->required();
    add_lot(*command, check.lot);
    add_json(*command, check.json);
    command->final_callback([&] { chosen = [&] { return run_check(check, console); }; });

    BendsRequest bends;
    command = add_command(program, "bends", "How far the notes of each cell bend: the trade's rule beside the model",
                          "reedwright bends designs/03_ten_hole_brass/equal.yaml");
    command->add_option("DESIGN", bends.design, "design (YAML)")->required();
    command->add_option("--pressure", bends.pressure,
                        "in the cell, over its surroundings; the design's playing.pressure, or 500 Pa, when left out");
    add_json(*command, bends.json);
    command->final_callback([&] { chosen = [&] { return run_bends(bends, console); }; });

    LeakRequest leak;
    command = add_command(program, "leak", "The air that each note loses past idle reeds and through joints",
                          "reedwright leak designs/03_ten_hole_brass/equal.yaml --pressure 500Pa");
    command->add_option("DESIGN", leak.design, "design (YAML)")->required();
    command->add_option("--pressure", leak.pressure,
                        "in the cell, over its surroundings; the design's playing.pressure, or 500 Pa, when left out");
    add_json(*command, leak.json);
    command->final_callback([&] { chosen = [&] { return run_leak(leak, console); }; });

    RetuneRequest retune;
    command = add_command(program, "retune", "Cuts for a whole instrument from one round of readings",
                          "reedwright retune designs/02_club_mouth_organ/instrument.yaml "
                          "designs/02_club_mouth_organ/readings.csv --html sheet.html");
    command->add_option("DESIGN", retune.design, "instrument file (YAML)")->required();
    command->add_option("READINGS", retune.readings, "table of readings (CSV): cell,row,reading[,temperature,how]")
        ->required();
    command->add_option("--a4", retune.a4, "tune to this A4 instead of the design's");
    command
        ->add_option("--temperament", retune.temperament,
                     "tune to this temperament, in the design's key, instead of the design's own")
        ->check(CLI::IsMember({"equal", "just", "septimal", "quarter-comma"}));
    command
        ->add_option(
            "--offset", retune.offsets,
            "tune a note off its temperament by so much instead of the design's own offset: C4-2c; may be said "
            "again for other notes")
        ->allow_extra_args(false);
    command->add_option("--beats", retune.beats,
                        "how fast pairs beat, 2.5Hz, instead of the design's own rate; for reeds that have one");
    add_lot(*command, retune.lot);
    command->add_option(
        "--under", retune.under,
        "set each reed as much sharper as this breath and the warmth take from it, such as 500Pa; blown "
        "readings are taken as read at it");
    command->add_option("--csv", retune.csv, "write the work as a table")->check(not_empty());
    command->add_option("--html", retune.html, "write the work as a page to print and fill in")->check(not_empty());
    command->add_flag("--replace", retune.replace, "write over files that stand already");
    add_json(*command, retune.json);
    command->final_callback([&] { chosen = [&] { return run_retune(retune, console); }; });

    DonorsRequest donors;
    command = add_command(program, "donors", "Loose tongues that fit a place of the instrument, least work first",
                          "reedwright donors designs/02_club_mouth_organ/instrument.yaml "
                          "designs/02_club_mouth_organ/stock.yaml --cell 4 --row draw");
    command->add_option("DESIGN", donors.design, "instrument file (YAML)")->required();
    command->add_option("STOCK", donors.stock, "list of loose tongues (YAML)")->required();
    command->add_option("--cell", donors.cell, "the cell that needs a tongue")->required();
    command->add_option("--row", donors.row, "its row: blow, draw, or the design's own word")->required();
    command->add_option("--gap", donors.gap,
                        "the widest gap between tongue and slot to put up with; 0.08mm when left out");
    add_json(*command, donors.json);
    command->final_callback([&] { chosen = [&] { return run_donors(donors, console); }; });

    ListenRequest listen;
    command = add_command(program, "listen", "The pitch of a recorded reed, how well it is known, and its harmonics",
                          "reedwright listen a4.wav --from 0.5s --to 2s");
    command->add_option("FILE", listen.file, "sound file (WAV) of one reed")->required();
    command->add_option("--from", listen.from, "listen from this time; from the beginning when left out");
    command->add_option("--to", listen.to, "listen up to this time; to the end when left out");
    command->add_option("--a4", listen.a4, "name the note against this A4")->capture_default_str();
    add_json(*command, listen.json);
    command->final_callback([&] { chosen = [&] { return run_listen(listen, console); }; });

    MaterialsRequest materials;
    command = add_command(program, "materials", "The alloys of the library, with ranges and sources",
                          "reedwright materials cuzn37-r630");
    command->add_option("NAME", materials.name,
                        "one alloy, or a file, in full; or a family: brass, bronze, steel, nickel silver");
    add_json(*command, materials.json);
    command->final_callback([&] { chosen = [&] { return run_materials(materials, console); }; });

    ScatterRun scatter;
    SourceTexts scatter_source;
    command =
        add_command(program, "scatter", "How the pitch spreads with what is uncertain: a Monte Carlo over every input",
                    "reedwright scatter designs/01_three_tongues/brass_a4.yaml --samples 1000000");
    add_source(*command, scatter_source);
    command->add_option("--samples", scatter.samples, "tongues drawn, 1000 to 1000000000; 1e6 is a million")
        ->transform(CLI::Validator(whole_number, "", "whole number"))
        ->check(CLI::Range(1000.0, 1e9))
        ->capture_default_str();
    command->add_option("--seed", scatter.seed, "the same seed draws the same tongues, whatever the number of threads")
        ->check([](const std::string& text) {
            std::uint64_t seed = 0;
            const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), seed);
            const bool whole = error == std::errc{} && end == text.data() + text.size();
            return whole ? "" : "a seed is a whole number from 0 to 18446744073709551615";
        })
        ->capture_default_str();
    command->add_option("--threads", scatter.threads, "threads at work; all of the machine when left out")
        ->check(CLI::Range(1, 1024));
    command->add_option("--svg", scatter.picture, "of a design: write a picture of every reed's spread")
        ->check(not_empty());
    command->add_flag("--replace", scatter.replace, "write over a file that stands already");
    add_json(*command, scatter.json);
    command->final_callback([&] {
        chosen = [&] {
            scatter.source = scatter_source.source();
            return run_scatter(scatter, console);
        };
    });

    BlowRequest blow;
    SourceTexts blow_source;
    command =
        add_command(program, "blow", "The reed in the wind: when it speaks and chokes, its sounding pitch, its swing",
                    "reedwright blow designs/01_three_tongues/brass_a4.yaml --svg blow.svg\n  reedwright blow "
                    "designs/01_three_tongues/brass_a4.yaml --pressure 500Pa --wav a4.wav");
    add_source(*command, blow_source);
    command->add_option("--pressure", blow.pressure, "at one pressure, such as 500Pa; left out, along the pressure");
    command->add_option("--sweep", blow.sweep, "along these pressures, such as 100Pa..1kPa");
    command->add_option("--chamber", blow.chamber,
                        "blown by a steady flow through a chamber of this volume, such as 100cm^3; left out, a closing "
                        "reed has a large supply and an opening one a chamber that lets it speak");
    command->add_option("--svg", blow.picture, "write a picture of growth, pitch and swing against the pressure")
        ->check(not_empty());
    command->add_option("--wav", blow.wave, "write a sound: the pressure swells from nothing, then stays")
        ->check(not_empty());
    command->add_flag("--replace", blow.replace, "write over files that stand already");
    add_json(*command, blow.json);
    command->final_callback([&] {
        chosen = [&] {
            blow.source = blow_source.source();
            return run_blow(blow, console);
        };
    });

    ShopRequest shop;
    SourceTexts shop_source;
    command = add_command(program, "shop", "Files for the shop: STEP of the plate blank with its tongue, and a picture",
                          "reedwright shop designs/01_three_tongues/brass_a4.yaml --out a4_shop");
    add_source(*command, shop_source);
    command->add_option("--out", shop.folder, "folder to write, whole or not at all")->required()->check(not_empty());
    command->add_option("--schema", shop.schema, "edition of STEP")
        ->check(CLI::IsMember({"AP242", "AP214"}))
        ->capture_default_str();
    command->add_option("--cut-width", shop.cut_width,
                        "of a design: move cutting paths aside by half the width of the laser's or tool's cut");
    command->add_flag("--replace", shop.replace, "write the folder anew if it stands already");
    add_json(*command, shop.json);
    command->final_callback([&] {
        chosen = [&] {
            shop.source = shop_source.source();
            return run_shop(shop, console);
        };
    });

    SheetRequest sheet;
    SourceTexts sheet_source;
    command = add_command(program, "sheet",
                          "All of a design or a tongue in one HTML file, to print on A4 or letter from a browser",
                          "reedwright sheet designs/03_ten_hole_brass/equal.yaml --out sheet.html");
    add_source(*command, sheet_source);
    command
        ->add_option("--out", sheet.file,
                     "the page to write; a browser prints it, to paper or PDF, at 100 % with its own margins")
        ->required()
        ->check(not_empty());
    command->add_flag("--replace", sheet.replace, "write over a file that stands already");
    add_json(*command, sheet.json);
    command->final_callback([&] {
        chosen = [&] {
            sheet.source = sheet_source.source();
            return run_sheet(sheet, console);
        };
    });

    PageRequest page;
    command = add_command(program, "page", "The local page: tongues and designs of a folder, in the browser",
                          "reedwright page designs/01_three_tongues");
    command->add_option("DIR", page.folder, "folder of your files; nothing outside it is read or written")
        ->check(not_empty())
        ->capture_default_str();
    command->add_option("--port", page.port, "port to listen on, for this machine alone; any free one when left out")
        ->check(CLI::Range(0, 65535));
    add_json(*command, page.json);
    command->final_callback([&] { chosen = [&] { return run_page(page, console); }; });

    if (const std::string complaint = unknown_command(program, count, arguments); !complaint.empty()) {
        console.err << complaint << '\n';
        return wrong_usage;
    }
    try {
        program.parse(count, arguments);
    } catch (const Answer& answer) {
        console.out << answer.text;
        return done;
    } catch (const CLI::ParseError& error) {
        const int code = program.exit(error, console.out, console.err);
        return code == 0 ? done : wrong_usage;
    }
    return chosen();
}

int run(int count, const char* const* arguments, const Console& console) {
    try {
        return run_or_throw(count, arguments, console);
    } catch (const InputError& error) {
        console.err << error.what() << '\n';
        return bad_input;
    } catch (const std::exception& error) {
        console.err << "reedwright failed, and the fault is ours: " << error.what() << '\n';
        return our_fault;
    }
}

}  // namespace reedwright::app
