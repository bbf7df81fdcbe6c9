using VibeCheck.Cli;

return VibeCheckApp.Run(args, Terminal.OfProcess());
