#include "cad_export/cad_interface.hpp"
#include "cad_export/step_writer.hpp"

extern "C" const reedwright::CadInterface* reedwright_cad_interface() {
    static constexpr reedwright::CadInterface interface {
        reedwright::cad_interface_version, &reedwright::step_of_blank
    };
    return &interface;
}
