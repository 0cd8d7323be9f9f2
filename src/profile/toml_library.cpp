// The one place where the code of toml++ is compiled.
//
// toml++ 3.3 asserts in places where the text, and not the program, is wrong (a table header that starts with no key); right
// behind them it reports the same fault as an error. The asserts are therefore left out in every build. They are not turned into
// promises to the compiler either, which the library does under NDEBUG.
#undef NDEBUG
#define TOML_ASSERT(expression) static_assert(true)
#define TOML_IMPLEMENTATION
#include <toml++/toml.h>
