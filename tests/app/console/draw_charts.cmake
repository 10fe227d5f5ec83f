# SPDX-License-Identifier: GPL-3.0-or-later
# Runs `portwright-cli chart` for each format in an empty environment and looks at the first bytes and the size.
function(draw suffix magic)
  set(file ${FOLDER}/chart.${suffix})
  file(REMOVE ${file})
  execute_process(COMMAND ${ENV_PROGRAM} -i ${PROGRAM} chart ${PROJECT} -o ${file} --size 1200x848
    RESULT_VARIABLE result OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT result EQUAL 0 OR NOT out STREQUAL "" OR NOT err STREQUAL "")
    message(FATAL_ERROR "${suffix}: exit ${result}, output '${out}', messages '${err}'")
  endif()
  file(READ ${file} start LIMIT 5 HEX)
  file(SIZE ${file} size)
  if(NOT start STREQUAL magic OR size LESS 10000)
    message(FATAL_ERROR "${suffix}: begins with ${start}, ${size} bytes")
  endif()
endfunction()
draw(png 89504e470d)
draw(svg 3c3f786d6c)
draw(pdf 255044462d)
