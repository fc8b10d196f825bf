-- Drives Neovim's own LSP client, as the README sets it up, and prints what it was told as one line of JSON.
-- Arguments (environment): CAMLEAF_SERVER, CAMLEAF_FILE, and the word to hover and rename, CAMLEAF_WORD.
local server, file, word = vim.env.CAMLEAF_SERVER, vim.env.CAMLEAF_FILE, vim.env.CAMLEAF_WORD
local told = {}

vim.api.nvim_create_autocmd({ "BufRead", "BufNewFile" }, {
  pattern = "*.camleaf",
  callback = function()
    vim.bo.filetype = "camleaf"
  end,
})
vim.cmd("edit " .. vim.fn.fnameescape(file))
told.filetype = vim.bo.filetype

local config = { name = "camleaf", cmd = { "node", server, "--stdio" }, root_dir = vim.fn.fnamemodify(file, ":h") }
-- vim.lsp.start came with 0.8; before it the same was done in two steps.
local id = vim.lsp.start and vim.lsp.start(config) or vim.lsp.start_client(config)
if not vim.lsp.start then
  vim.lsp.buf_attach_client(0, id)
end
local client = vim.lsp.get_client_by_id(id)
vim.wait(20000, function()
  return client.initialized and vim.lsp.buf_is_attached(0, id)
end, 20)
told.attached = vim.lsp.buf_is_attached(0, id)
told.offers_completion = client.server_capabilities.completionProvider ~= nil

vim.wait(20000, function()
  return #vim.diagnostic.get(0) > 0
end, 20)
told.diagnostics = vim.tbl_map(function(each)
  return { line = each.lnum, column = each.col, message = each.message, source = each.source, code = each.code }
end, vim.diagnostic.get(0))

vim.fn.search("\\<" .. word .. "\\>")
local function ask(method, more)
  local params = vim.tbl_extend("force", vim.lsp.util.make_position_params(0, "utf-16"), more or {})
  local answers, failed = vim.lsp.buf_request_sync(0, method, params, 20000)
  local answer = answers and answers[id] or {}
  return answer.result, answer.error or failed
end

local hover = ask("textDocument/hover")
told.hover = hover and hover.contents and hover.contents.value
local found = told.offers_completion and ask("textDocument/completion")
told.completion = vim.tbl_map(function(item)
  return item.label
end, found and (found.items or found) or {})

-- Renaming by the command that people press a key for.
local before = vim.api.nvim_buf_get_changedtick(0)
vim.lsp.buf.rename("COIL")
vim.wait(20000, function()
  return vim.api.nvim_buf_get_changedtick(0) ~= before
end, 20)
told.renamed = table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\n")

-- The server follows edits of the buffer.
vim.api.nvim_buf_set_lines(0, 0, -1, false, { "supply single 120 V 60 Hz" })
vim.wait(20000, function()
  return #vim.diagnostic.get(0) == 0
end, 20)
told.cleared = #vim.diagnostic.get(0) == 0

io.stdout:write("CAMLEAF " .. vim.json.encode(told) .. "\n")
vim.lsp.stop_client(id)
vim.wait(5000, function()
  return client.is_stopped()
end, 20)
vim.cmd("qall!")
