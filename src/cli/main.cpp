#include <string>
#include <vector>

#include "command.hpp"

int main(int argc, char** argv) { return bakewright::cli::run_program(std::vector<std::string>(argv + 1, argv + argc)); }
