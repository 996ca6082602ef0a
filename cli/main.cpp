#include "cli/run.hpp"

int main(int argc, char** argv) { return leafturn::cli::run(argc, argv); }
