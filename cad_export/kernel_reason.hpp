// What the kernel says when it fails, for people.
#pragma once

#include <Standard_Failure.hxx>
#include <string>

namespace reedwright {

/// The kind of failure and its message, "Standard_ConstructionError: ..."; many failures carry a kind alone.
inline std::string kernel_reason(const Standard_Failure& failure) {
    const std::string kind = failure.DynamicType()->Name();
    const std::string message = failure.GetMessageString() == nullptr ? "" : failure.GetMessageString();
    return message.empty() ? kind : kind + ": " + message;
}

}  // namespace reedwright
