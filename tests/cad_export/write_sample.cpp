// Writes the STEP text of sample blanks, the last of those named, to standard output: a process of
// its own for the tests to compare.
#include "cad_export/cad_loader.hpp"
#include "tests/cad_export/sample_blanks.hpp"

#include <iostream>

int main(int count, char** names) {
    const reedwright::CadInterface& cad = reedwright::load_cad({REEDWRIGHT_CAD_FOLDER});
    std::string text;
    for (int i = 1; i < count; ++i)
        for (const reedwright::SampleBlank& sample : reedwright::sample_blanks())
            if (sample.name == names[i]) text = cad.step_of_blank(sample.blank, reedwright::StepSchema::ap242);
    std::cout << text;
    return text.empty() ? 1 : 0;
}
