set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)

# Dev: quick to compile, quick enough to run, every assertion on.
set(CMAKE_CXX_FLAGS_DEV "-O1 -g1 -D_GLIBCXX_ASSERTIONS")
set(CMAKE_CXX_FLAGS_RELEASE "-O2 -g1")

find_program(LEAFTURN_CCACHE ccache)
if(LEAFTURN_CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${LEAFTURN_CCACHE})
endif()
find_program(LEAFTURN_MOLD mold)
if(LEAFTURN_MOLD AND NOT LEAFTURN_FUZZ)
  add_link_options(-fuse-ld=mold)
endif()

# Same inputs, same bytes, on any CPU: no contraction into fused multiply-add (it differs between targets), and the
# two -fno- flags only drop side channels (errno, exception flags) that we never read, so loops can be vectorised.
add_compile_options(-ffp-contract=off -fno-math-errno -fno-trapping-math)
# Builds do not carry the path they were made in.
add_compile_options(-ffile-prefix-map=${CMAKE_SOURCE_DIR}/=)

add_library(project_warnings INTERFACE)
target_compile_options(project_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wdouble-promotion -Wshadow -Wnon-virtual-dtor
  -Woverloaded-virtual -Wold-style-cast -Wcast-align -Wformat=2 -Wimplicit-fallthrough -Wextra-semi
  -Wmissing-declarations -Wswitch-enum -Wundef -Wfloat-equal
  $<$<CXX_COMPILER_ID:GNU>:-Wsuggest-override -Wduplicated-cond -Wduplicated-branches -Wlogical-op>
  # GCC 12 reports memcpy overlaps and overruns in plain string concatenation that are not there.
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict -Wno-array-bounds -Wno-stringop-overflow -Wno-stringop-overread>
  $<$<BOOL:${LEAFTURN_WERROR}>:-Werror>)

if(LEAFTURN_SANITIZE)
  add_compile_options(-fsanitize=${LEAFTURN_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
  add_link_options(-fsanitize=${LEAFTURN_SANITIZE})
endif()
if(LEAFTURN_FUZZ)
  add_compile_options(-fsanitize=fuzzer-no-link)
endif()
