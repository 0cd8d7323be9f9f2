// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::probe {

/// One wish of the user: this channel of the log is that thing.
struct ChannelMapping {
    std::string channel;                   ///< name of a trace of the log
    TraceRole role = TraceRole::unmapped;  ///< what it was measured on
    std::string name;                      ///< new name, such as a zone's; empty keeps the channel's name
};

/// A name that channels may be matched with by themselves: a zone, an item, a cavity of the shell.
struct MappingTarget {
    std::string name;
    TraceRole role = TraceRole::zone;
};

/// How one channel came to its name.
struct ChannelMatch {
    std::string channel;  ///< name in the log
    std::string name;     ///< name it has now
    TraceRole role = TraceRole::unmapped;
    std::string how;  ///< "given", "same name" or "air word"
};

/// What map_channels did.
struct MappingResult {
    std::vector<ChannelMatch> matched;   ///< in the order of the traces
    std::vector<std::string> unmatched;  ///< channels that stay unmapped, in the order of the traces
    std::vector<std::string> remarks;    ///< why a likely match was not made
};

/// Gives traces of a log their roles and names.
/// First the given entries. Then a channel whose name equals a target's, ignoring case, blanks and punctuation. Then, where no
/// trace is booth_air yet, the one channel whose words name the booth's air (air, oven, booth; not ambient, room, outside,
/// interior, cavity); where two channels claim it equally, neither is taken and a remark says so. Other channels are left as they
/// are.
/// @throws InputError, and changes nothing, where an entry names no channel or a channel twice, or where two traces would
/// share a name.
MappingResult map_channels(TraceSet& traces, const std::vector<ChannelMapping>& given,
                           const std::vector<MappingTarget>& targets = {});

}  // namespace bakewright::probe
