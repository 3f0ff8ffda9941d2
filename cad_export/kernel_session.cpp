#include "cad_export/kernel_session.hpp"

#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_PrinterOStream.hxx>

namespace reedwright {

namespace {

std::mutex& kernel_mutex() {
    static std::mutex mutex;
    return mutex;
}

}  // namespace

KernelSession::KernelSession() : alone_(kernel_mutex()) {
    Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_PrinterOStream));
}

}  // namespace reedwright
