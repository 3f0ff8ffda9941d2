# What the objects compiled for wider registers define for others to link: their table and nothing else.
# An inline function that left such an object could be the copy that the linker keeps for the whole program.
# cmake -DNM=nm -DOBJECTS=a.o,b.o -DALLOWED=names -P lane_symbols.cmake
string(REPLACE "," ";" OBJECTS "${OBJECTS}")
if(NOT OBJECTS)
  message(FATAL_ERROR "no objects to look at")
endif()
foreach(object IN LISTS OBJECTS)
  execute_process(COMMAND ${NM} --extern-only --defined-only --format=posix ${object}
    OUTPUT_VARIABLE symbols COMMAND_ERROR_IS_FATAL ANY)
  string(STRIP "${symbols}" symbols)
  string(REPLACE "\n" ";" symbols "${symbols}")
  list(LENGTH symbols count)
  if(NOT count EQUAL 1 OR NOT symbols MATCHES "^_ZN10reedwright6kernel[0-9]+(avx2|avx512)_lanesE [DR] ")
    message(SEND_ERROR "${object} defines more than its table, or not that: ${symbols}")
  endif()
  message(STATUS "${object}: ${symbols}")
endforeach()
