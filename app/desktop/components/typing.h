// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace portwright {

/// A field that holds what is typed until it is committed.
class TypedInto {
public:
    virtual ~TypedInto() = default;
    virtual void commitTyped() = 0;  ///< takes over what stands half typed
};

/// Takes over what stands half typed in the field that has the focus. Call before choosing something else or saving.
void commitTyping();

}  // namespace portwright
