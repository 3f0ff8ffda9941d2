// An open file by its number, closed with the object; for the sources of this library that write files.
#pragma once

#include <unistd.h>
#include <utility>

namespace reedwright {

class Descriptor {
public:
    /// Takes over a number that open() gave; a negative one is no file.
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int number() const { return number_; }
    /// Closes before the object goes, and tells whether that went well; a full disk may show only here.
    bool close_now() { return ::close(std::exchange(number_, -1)) == 0; }

private:
    int number_;
};

}  // namespace reedwright
