#pragma once

#include <array>
#include <string_view>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/gauge.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"

namespace bakewright::profile {

/// A word of a profile and what it stands for.
template <class Value>
struct Word {
    std::string_view text;
    Value value;
};

/// @param text  one of the words
template <class Value, std::size_t count>
[[nodiscard]] Value value_of(const std::array<Word<Value>, count>& words, std::string_view text) {
    for (const Word<Value>& word : words)
        if (word.text == text) return word.value;
    throw PromiseError("a word that was checked is in its table");
}

template <class Value, std::size_t count>
[[nodiscard]] std::string_view text_of(const std::array<Word<Value>, count>& words, Value value) {
    for (const Word<Value>& word : words)
        if (word.value == value) return word.text;
    throw PromiseError("every value of an enumeration has a word");
}

inline constexpr std::array<Word<GaugeSeries>, 5> kGaugeWords{{{"none", GaugeSeries::none},
                                                               {"steel", GaugeSeries::steel},
                                                               {"galvanised steel", GaugeSeries::galvanised_steel},
                                                               {"stainless steel", GaugeSeries::stainless_steel},
                                                               {"aluminium", GaugeSeries::aluminium}}};
inline constexpr std::array<Word<cure::ScheduleBasis>, 3> kBasisWords{{{"part", cure::ScheduleBasis::part},
                                                                       {"booth_air", cure::ScheduleBasis::booth_air},
                                                                       {"not_stated", cure::ScheduleBasis::not_stated}}};
/// What slows a reaction near the glass transition.
enum class DiffusionLaw { critical_conversion, free_volume };
inline constexpr std::array<Word<DiffusionLaw>, 2> kDiffusionWords{
    {{"critical_conversion", DiffusionLaw::critical_conversion}, {"free_volume", DiffusionLaw::free_volume}}};
inline constexpr std::array<Word<cure::BeyondLastRow>, 2> kBeyondLastRowWords{
    {{"counts_as_last_row", cure::BeyondLastRow::counts_as_last_row},
     {"counts_as_nothing", cure::BeyondLastRow::counts_as_nothing}}};
inline constexpr std::array<Word<cure::ExposureScope>, 2> kScopeWords{
    {{"bake", cure::ExposureScope::bake}, {"lifetime", cure::ExposureScope::lifetime}}};
inline constexpr std::array<Word<bake::AirStrength>, 3> kAirWords{
    {{"gentle", bake::AirStrength::gentle}, {"normal", bake::AirStrength::normal}, {"strong", bake::AirStrength::strong}}};
inline constexpr std::array<Word<bake::WallKind>, 2> kWallWords{
    {{"insulated", bake::WallKind::insulated}, {"single_skin", bake::WallKind::single_skin}}};
inline constexpr std::array<Word<bake::Controller::Kind>, 4> kControllerWords{
    {{"ideal", bake::Controller::Kind::ideal},
     {"burner_limited", bake::Controller::Kind::burner_limited},
     {"proportional_integral", bake::Controller::Kind::proportional_integral},
     {"on_off", bake::Controller::Kind::on_off}}};
inline constexpr std::array<Word<bake::FanMode>, bake::kFanModeCount> kFanModeWords{{{"flash_off", bake::FanMode::flash_off},
                                                                                     {"purge", bake::FanMode::purge},
                                                                                     {"bake", bake::FanMode::bake},
                                                                                     {"cool", bake::FanMode::cool}}};
/// In place of a time: the booth's controller sees to its vapour purge.
inline constexpr std::string_view kPurgesByItself = "by itself";
inline constexpr std::array<Word<bake::StageKind>, 5> kStageWords{{{"flash_off", bake::StageKind::flash_off},
                                                                   {"purge", bake::StageKind::purge},
                                                                   {"ramp", bake::StageKind::ramp},
                                                                   {"hold", bake::StageKind::hold},
                                                                   {"cool", bake::StageKind::cool}}};
inline constexpr std::array<Word<bake::FaceView>, 3> kViewWords{
    {{"booth", bake::FaceView::booth}, {"cavity", bake::FaceView::cavity}, {"nothing", bake::FaceView::nothing}}};
inline constexpr std::array<Word<bake::Masking>, 3> kMaskingWords{
    {{"none", bake::Masking::none}, {"paper", bake::Masking::paper}, {"film", bake::Masking::film}}};
inline constexpr std::array<Word<bake::Orientation>, 3> kOrientationWords{{{"vertical", bake::Orientation::vertical},
                                                                           {"faces_up", bake::Orientation::faces_up},
                                                                           {"faces_down", bake::Orientation::faces_down}}};
inline constexpr std::array<Word<bake::DrawnOn>, 10> kDrawnOnWords{{{"left_side", bake::DrawnOn::left_side},
                                                                    {"right_side", bake::DrawnOn::right_side},
                                                                    {"sides", bake::DrawnOn::sides},
                                                                    {"top", bake::DrawnOn::top},
                                                                    {"underside", bake::DrawnOn::underside},
                                                                    {"front_end", bake::DrawnOn::front_end},
                                                                    {"rear_end", bake::DrawnOn::rear_end},
                                                                    {"ends", bake::DrawnOn::ends},
                                                                    {"inside", bake::DrawnOn::inside},
                                                                    {"beside", bake::DrawnOn::beside}}};
inline constexpr std::array<Word<bake::ZoneRole>, 2> kRoleWords{
    {{"shell", bake::ZoneRole::shell}, {"test_panel", bake::ZoneRole::test_panel}}};
inline constexpr std::array<Word<bake::Link::Side>, 2> kSideWords{
    {{"outer", bake::Link::Side::outer}, {"inner", bake::Link::Side::inner}}};

inline constexpr std::array<Word<probe::ThermocoupleType>, 8> kThermocoupleWords{{{"B", probe::ThermocoupleType::b},
                                                                                  {"E", probe::ThermocoupleType::e},
                                                                                  {"J", probe::ThermocoupleType::j},
                                                                                  {"K", probe::ThermocoupleType::k},
                                                                                  {"N", probe::ThermocoupleType::n},
                                                                                  {"R", probe::ThermocoupleType::r},
                                                                                  {"S", probe::ThermocoupleType::s},
                                                                                  {"T", probe::ThermocoupleType::t}}};
inline constexpr std::array<Word<probe::ToleranceClass>, 5> kToleranceWords{
    {{"IEC 1", probe::ToleranceClass::iec_1},
     {"IEC 2", probe::ToleranceClass::iec_2},
     {"IEC 3", probe::ToleranceClass::iec_3},
     {"ASTM standard", probe::ToleranceClass::astm_standard},
     {"ASTM special", probe::ToleranceClass::astm_special}}};
inline constexpr std::array<Word<probe::Attachment>, 6> kAttachmentWords{{{"in air", probe::Attachment::in_air},
                                                                          {"embedded", probe::Attachment::embedded},
                                                                          {"welded", probe::Attachment::welded},
                                                                          {"taped", probe::Attachment::taped},
                                                                          {"clipped", probe::Attachment::clipped},
                                                                          {"magnet", probe::Attachment::magnet}}};

}  // namespace bakewright::profile
