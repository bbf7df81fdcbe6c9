using VibeCheck.Cli;

return VibeCheckApp.Run(args, StandardStreams.Open());
