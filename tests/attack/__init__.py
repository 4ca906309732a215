"""Long attacks on the engine, the build, the page and the server: `make attack` prints what was tried and what failed."""
