// The kernel's document of named, assembled products.
#pragma once

#include "cad_export/product_tree.hpp"

#include <TDF_Label.hxx>
#include <TDocStd_Document.hxx>
#include <vector>

namespace reedwright {

/// Open as long as it lives. Names are written in ASCII.
class XcafDocument {
public:
    /// Counts in millimetres.
    explicit XcafDocument(const ProductTree& tree);
    ~XcafDocument();
    XcafDocument(const XcafDocument&) = delete;
    XcafDocument& operator=(const XcafDocument&) = delete;

    const Handle(TDocStd_Document) & handle() const { return document_; }
    /// One for each product of the tree.
    const std::vector<TDF_Label>& products() const { return products_; }

private:
    Handle(TDocStd_Document) document_;
    std::vector<TDF_Label> products_;
};

}  // namespace reedwright
