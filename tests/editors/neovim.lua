-- Neovim as a judge of `boltfolio editor`: opens the demonstration, breaks it, sees the finding at its place, takes the mend, renames a joint
-- that three files name, completes behind `undo `, formats. Neovim's own client applies what the server answers.
--   BOLTFOLIO=program PLAN=folder nvim --headless --clean -n -S tests/editors/neovim.lua
local program, plan = os.getenv('BOLTFOLIO'), os.getenv('PLAN')

local function fail(what)
  io.stdout:write('neovim: failed: ' .. what .. '\n')
  vim.cmd('cquit! 1')
end
local function check(good, what)
  if not good then fail(what) end
  io.stdout:write('neovim: ' .. what .. '\n')
end
local function until_so(what, so)
  check(vim.wait(30000, so, 10), what)
end

local run = function()
  local file = plan .. '/stages/3-strip-front.boltplan'
  vim.cmd('edit ' .. file)
  local buffer = vim.api.nvim_get_current_buf()
  local id = vim.lsp.start_client({ name = 'boltfolio', cmd = { program, 'editor' }, root_dir = plan })
  check(id ~= nil, 'the server starts')
  vim.lsp.buf_attach_client(buffer, id)
  until_so('it is ready', function() return vim.lsp.buf_get_clients(buffer)[id] ~= nil end)
  local client = vim.lsp.get_client_by_id(id)
  local function lines() return vim.api.nvim_buf_get_lines(buffer, 0, -1, false) end
  local function find(text)
    for number, line in ipairs(lines()) do
      local column = line:find(text, 1, true)
      if column then return number - 1, column - 1, line end
    end
    fail('`' .. text .. '` stands nowhere')
  end
  local function ask(method, params)
    local answer = client.request_sync(method, params, 30000, buffer)
    if not answer or answer.err then fail(method .. ': ' .. vim.inspect(answer)) end
    return answer.result
  end
  local function at(row, column)
    return { textDocument = vim.lsp.util.make_text_document_params(buffer), position = { line = row, character = column } }
  end

  -- Break it.
  local row, column, line = find('undo damper-eye-left')
  vim.api.nvim_buf_set_lines(buffer, row, row + 1, false, { (line:gsub('damper%-eye%-left', 'damper-eye-lfet')) })
  until_so('the finding is told', function() return #vim.diagnostic.get(buffer) > 0 end)
  local found = vim.diagnostic.get(buffer)[1]
  check(found.code == 'unknown-name' or (found.user_data and found.user_data.lsp.code == 'unknown-name'), 'it is an unknown name')
  check(found.lnum == row and found.col == column + 5, 'it stands at its place')

  -- Take the mend.
  local params = at(row, column)
  params.range = { start = { line = row, character = column + 5 }, ['end'] = { line = row, character = column + 6 } }
  params.context = { diagnostics = {} }
  local mend
  for _, action in ipairs(ask('textDocument/codeAction', params)) do
    if action.isPreferred then mend = action end
  end
  check(mend ~= nil, 'one mend is offered: ' .. (mend and mend.title or ''))
  vim.lsp.util.apply_workspace_edit(mend.edit, client.offset_encoding)
  check(select(3, find('undo damper-eye-left')) == line, 'it is mended')
  until_so('nothing is found any more', function() return #vim.diagnostic.get(buffer) == 0 end)

  -- Rename in three files.
  params = at(row, column + 7)
  params.newName = 'strut-eye'
  local edit = ask('textDocument/rename', params)
  local files = 0
  for _ in pairs(edit.documentChanges or edit.changes) do files = files + 1 end
  check(files >= 3, 'it is renamed in ' .. files .. ' files')
  vim.lsp.util.apply_workspace_edit(edit, client.offset_encoding)
  vim.cmd('silent wall')
  find('undo strut-eye-left')
  vim.wait(500)
  check(#vim.diagnostic.get() == 0, 'nothing is found after the renaming')

  -- Complete behind `undo `.
  local after = select(3, find('undo strut-eye-left'))
  vim.api.nvim_buf_set_lines(buffer, row, row, false, { '  undo ' })
  local offered = ask('textDocument/completion', at(row, 7))
  local labels = {}
  for _, item in ipairs(offered.items) do labels[item.label] = true end
  check(labels['strut-eye-left'] and not labels['wheel-fixing-left'], 'what is closed at this step is offered, and nothing else')
  vim.api.nvim_buf_set_lines(buffer, row, row + 1, false, {})
  check(select(3, find('undo strut-eye-left')) == after, 'the line is taken out again')

  -- Format.
  local before = table.concat(lines(), '\n')
  vim.api.nvim_buf_set_lines(buffer, row, row + 1, false, { after .. '   ' })
  local edits = ask('textDocument/formatting', { textDocument = at(0, 0).textDocument, options = { tabSize = 2, insertSpaces = true } })
  vim.lsp.util.apply_text_edits(edits, buffer, client.offset_encoding)
  check(table.concat(lines(), '\n') == before, 'it is formatted')

  -- Hover and jump.
  local hover = ask('textDocument/hover', at(row, column + 7))
  check(hover and hover.contents.value:find('At this place of step', 1, true), 'a hover tells how it is at this step')
  local jump = ask('textDocument/definition', at(row, column + 7))
  check(jump[1] and jump[1].uri:find('corners.boltplan', 1, true), 'a jump leads to the other file')
  client.stop()
  until_so('the server ends', function() return client.is_stopped() end)
  vim.cmd('qall!')
end
local good, why = pcall(run)
if not good then fail(tostring(why)) end
