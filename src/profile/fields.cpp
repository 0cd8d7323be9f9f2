// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/fields.hpp"

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::profile {

void visit_fields(ShellProfile& profile, Fields& see) {
    visit_fields(profile.shell, see, [&](std::size_t i) {
        const bake::Item& item = profile.shell.items[i];
        if (profile.item_limits.size() <= i) profile.item_limits.resize(i + 1);
        cure::HeatSensitiveItem& limits = profile.item_limits[i];
        limits.name = item.name;
        limits.title = item.title;
        visit_fields(limits, see);
    });
}

std::vector<FieldFacts> fields_of(Kind kind) {
    switch (kind) {
        case Kind::material:
            return list_fields<thermal::Material>();
        case Kind::coating:
            return list_fields<cure::Coating>();
        case Kind::booth:
            return list_fields<bake::Booth>();
        case Kind::shell:
            return list_fields<ShellProfile>();
        case Kind::cycle:
            return list_fields<bake::Cycle>();
        case Kind::probes:
            return list_fields<probe::ProbeSet>();
        case Kind::source:
            return list_fields<probe::SourceRecord>();
    }
    return {};
}

}  // namespace bakewright::profile
