" A line under a block is indented by two; a new block begins at the left edge by hand.
if exists('b:did_indent')
  finish
endif
let b:did_indent = 1
setlocal shiftwidth=2 expandtab commentstring=#\ %s comments=:#
setlocal indentexpr=BoltplanIndent()
function! BoltplanIndent()
  let above = prevnonblank(v:lnum - 1)
  if above == 0 || getline(v:lnum) =~# '^\S'
    return 0
  endif
  return indent(above) == 0 && getline(above) !~# '^#' ? shiftwidth() : indent(above)
endfunction
