;;; Drives Emacs's own LSP client (eglot), as the README sets it up, and prints what it was told as one line of JSON.  -*- lexical-binding: t -*-
;; Arguments (environment): CAMLEAF_SERVER, CAMLEAF_FILE, and the word to hover and rename, CAMLEAF_WORD.
(require 'eglot)
(require 'flymake)
(require 'json)
(require 'project)

(define-derived-mode camleaf-mode prog-mode "Camleaf"
  (setq-local comment-start "# "))
(add-to-list 'auto-mode-alist '("\\.camleaf\\'" . camleaf-mode))
(add-to-list 'eglot-server-programs
             `(camleaf-mode . ("node" ,(getenv "CAMLEAF_SERVER") "--stdio")))

(setq eglot-sync-connect t
      eglot-autoshutdown nil
      create-lockfiles nil
      make-backup-files nil)

(defun told-when (test)
  "Wait until TEST holds, for at most 20 seconds."
  (let ((end (+ (float-time) 20)))
    (while (and (not (funcall test)) (< (float-time) end))
      (accept-process-output nil 0.05))
    (funcall test)))

(find-file (getenv "CAMLEAF_FILE"))
(let* ((word (getenv "CAMLEAF_WORD"))
       (mode (symbol-name major-mode))
       attached diagnostics hover offers completion renamed cleared)
  (apply #'eglot (eglot--guess-contact))
  (setq attached (and (eglot-managed-p) t))
  (flymake-mode 1)
  (told-when (lambda () (flymake-start) (flymake-diagnostics)))
  (setq diagnostics
        (mapcar (lambda (each)
                  `((line . ,(1- (line-number-at-pos (flymake-diagnostic-beg each))))
                    (message . ,(flymake-diagnostic-text each))))
                (flymake-diagnostics)))
  (goto-char (point-min))
  (re-search-forward (concat "\\_<" (regexp-quote word) "\\_>"))
  (goto-char (match-beginning 0))
  (let ((answer nil))
    (eglot-hover-eldoc-function (lambda (text &rest _) (setq answer (or text ""))))
    (told-when (lambda () answer))
    (setq hover (and answer (substring-no-properties answer))))
  (setq offers (and (eglot--server-capable :completionProvider) t))
  (when offers
    (let ((capf (eglot-completion-at-point)))
      (setq completion (all-completions "" (nth 2 capf)))))
  (eglot-rename "COIL")
  (setq renamed (buffer-substring-no-properties (point-min) (point-max)))
  ;; The server follows edits of the buffer.
  (erase-buffer)
  (insert "supply single 120 V 60 Hz\n")
  (eglot--signal-textDocument/didChange)
  (setq cleared (and (told-when (lambda () (flymake-start) (null (flymake-diagnostics)))) t))
  (princ (concat "CAMLEAF "
                 (json-encode `((filetype . ,mode)
                                (attached . ,(or attached :json-false))
                                (diagnostics . ,(vconcat diagnostics))
                                (hover . ,hover)
                                (offers_completion . ,(or offers :json-false))
                                (completion . ,(vconcat (mapcar #'substring-no-properties completion)))
                                (renamed . ,renamed)
                                (cleared . ,(or cleared :json-false))))
                 "\n"))
  (set-buffer-modified-p nil)
  (ignore-errors (eglot-shutdown (eglot-current-server) nil 5))
  (kill-emacs 0))
