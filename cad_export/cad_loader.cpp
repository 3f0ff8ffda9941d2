#include "cad_export/cad_loader.hpp"

#include <dlfcn.h>

namespace reedwright {

namespace {

std::string loader_error() {
    const char* text = dlerror();
    return text ? text : "no reason given";
}

}  // namespace

const CadInterface& load_cad(const std::vector<std::filesystem::path>& folders) {
    std::string tried;
    for (const std::filesystem::path& folder : folders) {
        const std::filesystem::path file = folder / cad_module_name;
        if (!std::filesystem::exists(file)) {
            tried += "\n    " + file.string() + ": no such file";
            continue;
        }
        // Never closed: exceptions and functions of the module may outlive any caller.
        void* module = dlopen(std::filesystem::absolute(file).c_str(), RTLD_NOW | RTLD_LOCAL);
        if (!module) throw CadUnavailable("the CAD module cannot be loaded: " + loader_error());
        void* symbol = dlsym(module, "reedwright_cad_interface");
        if (!symbol) throw CadUnavailable(file.string() + " is not a CAD module of this program");
        const CadInterface* interface = reinterpret_cast<decltype(&reedwright_cad_interface)>(symbol)();
        if (interface->version != cad_interface_version)
            throw CadUnavailable(file.string() + " has interface version " + std::to_string(interface->version) +
                                 ", this program needs version " + std::to_string(cad_interface_version) +
                                 "; install program and module from the same build");
        return *interface;
    }
    throw CadUnavailable("no CAD module found; tried" + tried);
}

}  // namespace reedwright
