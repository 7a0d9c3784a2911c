# Files joined into string literals of a C++ source:
#   cmake -DOUT=FILE.cpp -DNAMES="style;script" -Dstyle="a.css;b.css" -Dscript="c.js" -P embed.cmake
set(source "#include \"tools/html/assets.hpp\"\n\nnamespace joulepress::tools::html {\n")
foreach(name IN LISTS NAMES)
  set(joined "")
  foreach(file IN LISTS ${name})
    file(READ "${file}" content)
    string(APPEND joined "${content}\n")
  endforeach()
  string(APPEND source "\nconst std::string_view ${name} = R\"asset(${joined})asset\";\n")
endforeach()
file(WRITE "${OUT}" "${source}\n}  // namespace joulepress::tools::html\n")
