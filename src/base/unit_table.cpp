#include "unit_table.hpp"

#include <array>

#include "bakewright/base/units.hpp"
#include "plain_text.hpp"

namespace bakewright {
namespace {

constexpr Powers kLength{.length = 1};
constexpr Powers kVolume{.length = 3};
constexpr Powers kMass{.mass = 1};
constexpr Powers kTime{.time = 1};
constexpr Powers kTemperature{.temperature = 1};
constexpr Powers kAmount{.amount = 1};
constexpr Powers kEnergy{.length = 2, .mass = 1, .time = -2};
constexpr Powers kPower{.length = 2, .mass = 1, .time = -3};
constexpr Powers kSpeed{.length = 1, .time = -1};
constexpr Powers kVolumeFlow{.length = 3, .time = -1};
constexpr Powers kPerTime{.time = -1};
constexpr Powers kCount{};

constexpr double kFoot = 12.0 * kMetrePerInch;
constexpr double kCubicFoot = kFoot * kFoot * kFoot;
constexpr double kGallon = 231.0 * kMetrePerInch * kMetrePerInch * kMetrePerInch;
constexpr double kBtu = 1055.05585262;  // BTU_IT, exact
constexpr double kCalorie = 4.184;      // thermochemical calorie, exact
constexpr double kDay = 24.0 * kSecondPerHour;

/// Source of the sizes: NIST SP 811 (2008), appendix B.8.
constexpr std::array kUnits = {
    // length
    Unit{"m", 1, 1, kLength, true},
    Unit{"metre", 1, 1, kLength},
    Unit{"metres", 1, 1, kLength},
    Unit{"meter", 1, 1, kLength},
    Unit{"meters", 1, 1, kLength},
    Unit{"mm", 1, 1e3, kLength, true},
    Unit{"cm", 1, 1e2, kLength},
    Unit{"km", 1e3, 1, kLength},
    Unit{"um", 1, 1e6, kLength},
    Unit{"micron", 1, 1e6, kLength},
    Unit{"microns", 1, 1e6, kLength},
    Unit{"mil", kMetrePerInch, 1e3, kLength},
    Unit{"mils", kMetrePerInch, 1e3, kLength},
    Unit{"thou", kMetrePerInch, 1e3, kLength},
    Unit{"in", kMetrePerInch, 1, kLength},
    Unit{"inch", kMetrePerInch, 1, kLength},
    Unit{"inches", kMetrePerInch, 1, kLength},
    Unit{"\"", kMetrePerInch, 1, kLength},
    Unit{"ft", kFoot, 1, kLength},
    Unit{"foot", kFoot, 1, kLength},
    Unit{"feet", kFoot, 1, kLength},
    Unit{"'", kFoot, 1, kLength},
    // time
    Unit{"s", 1, 1, kTime},
    Unit{"sec", 1, 1, kTime},
    Unit{"secs", 1, 1, kTime},
    Unit{"second", 1, 1, kTime},
    Unit{"seconds", 1, 1, kTime},
    Unit{"min", kSecondPerMinute, 1, kTime},
    Unit{"mins", kSecondPerMinute, 1, kTime},
    Unit{"minute", kSecondPerMinute, 1, kTime},
    Unit{"minutes", kSecondPerMinute, 1, kTime},
    Unit{"h", kSecondPerHour, 1, kTime},
    Unit{"hr", kSecondPerHour, 1, kTime},
    Unit{"hrs", kSecondPerHour, 1, kTime},
    Unit{"hour", kSecondPerHour, 1, kTime},
    Unit{"hours", kSecondPerHour, 1, kTime},
    Unit{"d", kDay, 1, kTime},
    Unit{"day", kDay, 1, kTime},
    Unit{"days", kDay, 1, kTime},
    // temperature, as an interval
    Unit{"K", 1, 1, kTemperature, true},
    Unit{"kelvin", 1, 1, kTemperature},
    Unit{"kelvins", 1, 1, kTemperature},
    Unit{"C", 1, 1, kTemperature},
    Unit{"celsius", 1, 1, kTemperature},
    Unit{"F", 5, 9, kTemperature},
    Unit{"fahrenheit", 5, 9, kTemperature},
    // mass and amount
    Unit{"kg", 1, 1, kMass},
    Unit{"g", 1, 1e3, kMass},
    Unit{"t", 1e3, 1, kMass},
    Unit{"tonne", 1e3, 1, kMass},
    Unit{"tonnes", 1e3, 1, kMass},
    Unit{"lb", kKilogramPerPound, 1, kMass},
    Unit{"lbs", kKilogramPerPound, 1, kMass},
    Unit{"pound", kKilogramPerPound, 1, kMass},
    Unit{"pounds", kKilogramPerPound, 1, kMass},
    Unit{"oz", kKilogramPerPound, 16, kMass},
    Unit{"ounce", kKilogramPerPound, 16, kMass},
    Unit{"ounces", kKilogramPerPound, 16, kMass},
    Unit{"mol", 1, 1, kAmount},
    Unit{"kmol", 1e3, 1, kAmount},
    // volume
    Unit{"l", 1, 1e3, kVolume},
    Unit{"litre", 1, 1e3, kVolume},
    Unit{"litres", 1, 1e3, kVolume},
    Unit{"liter", 1, 1e3, kVolume},
    Unit{"liters", 1, 1e3, kVolume},
    Unit{"ml", 1, 1e6, kVolume, true},
    Unit{"mL", 1, 1e6, kVolume, true},
    Unit{"gal", kGallon, 1, kVolume},
    Unit{"gallon", kGallon, 1, kVolume},
    Unit{"gallons", kGallon, 1, kVolume},
    // energy and power
    Unit{"J", 1, 1, kEnergy},
    Unit{"kJ", 1e3, 1, kEnergy},
    Unit{"MJ", 1e6, 1, kEnergy, true},
    Unit{"Wh", kSecondPerHour, 1, kEnergy},
    Unit{"kWh", 1e3 * kSecondPerHour, 1, kEnergy},
    Unit{"BTU", kBtu, 1, kEnergy},
    Unit{"kBTU", 1e3 * kBtu, 1, kEnergy},
    Unit{"MMBTU", 1e6 * kBtu, 1, kEnergy, true},
    Unit{"cal", kCalorie, 1, kEnergy},
    Unit{"kcal", 1e3 * kCalorie, 1, kEnergy},
    Unit{"W", 1, 1, kPower},
    Unit{"kW", 1e3, 1, kPower},
    Unit{"MW", 1e6, 1, kPower, true},
    Unit{"BTUH", kBtu, kSecondPerHour, kPower},
    // speed, flow, air change
    Unit{"fpm", kFoot, kSecondPerMinute, kSpeed},
    Unit{"cfm", kCubicFoot, kSecondPerMinute, kVolumeFlow},
    Unit{"ach", 1, kSecondPerHour, kPerTime},
    Unit{"air changes", 1, 1, kCount},
    Unit{"air change", 1, 1, kCount},
    Unit{"changes", 1, 1, kCount},
    Unit{"change", 1, 1, kCount},
};

bool same_without_case(std::string_view left, std::string_view right) {
    if (left.size() != right.size()) return false;
    for (std::size_t i = 0; i < left.size(); ++i)
        if (lower(left[i]) != lower(right[i])) return false;
    return true;
}

bool starts_with_unit(std::string_view text, const Unit& unit) {
    if (unit.case_matters) return text.starts_with(unit.symbol);
    return same_without_case(text.substr(0, unit.symbol.size()), unit.symbol);
}

}  // namespace

const Unit* unit_at_start(std::string_view text) noexcept {
    const Unit* longest = nullptr;
    for (const Unit& unit : kUnits)
        if (starts_with_unit(text, unit) && (longest == nullptr || unit.symbol.size() > longest->symbol.size())) longest = &unit;
    return longest;
}

}  // namespace bakewright
