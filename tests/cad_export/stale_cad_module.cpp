// A CAD module of another version, as an old installation would leave it.
#include "cad_export/cad_interface.hpp"

extern "C" const reedwright::CadInterface* reedwright_cad_interface() {
    static constexpr reedwright::CadInterface interface {
        reedwright::cad_interface_version + 1, nullptr, nullptr
    };
    return &interface;
}
