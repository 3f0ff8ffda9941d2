// An open file by its number, closed with the object; for the sources of this library that write files.
#pragma once

#include <unistd.h>

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

private:
    int number_;
};

}  // namespace reedwright
