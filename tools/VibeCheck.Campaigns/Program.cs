using System.Globalization;
using VibeCheck.Campaigns;
using VibeCheck.Campaigns.Damage;
using VibeCheck.Campaigns.Findings;
using VibeCheck.Campaigns.Group;

// campaigns NAME [--trials N]     prints a table of results on simulated flights with known truth
switch (args)
{
    case ["compare", .. var rest]:
        return CompareCampaign.Run(Trials(rest, 100), Console.Out);
    case ["speeds", .. var rest]:
        return SpeedCampaign.Run(rest, Console.Out);
    case ["orders", .. var rest]:
        return OrderCampaign.Run(rest, Console.Out);
    case ["temperatures", .. var rest]:
        return TemperaturesCampaign.Run(rest, Console.Out);
    case ["survey", .. var rest]:
        return SurveyCampaign.Run(Trials(rest, 400), Console.Out);
    case ["alignment", "--trials", string n, "--seed", string seed]:
        return AlignmentCampaign.Run(
            int.Parse(n, CultureInfo.InvariantCulture),
            Console.Out,
            int.Parse(seed, CultureInfo.InvariantCulture)
        );
    case ["drift", "--trials", string n, "--seed", string seed]:
        return DriftCampaign.Run(int.Parse(n, CultureInfo.InvariantCulture), Console.Out, int.Parse(seed, CultureInfo.InvariantCulture));
    case ["alignment", .. var rest]:
        return AlignmentCampaign.Run(Trials(rest, 40), Console.Out);
    case ["hostile", .. var rest]:
        return HostileCampaign.Run(rest, Console.Out);
    case ["drift", .. var rest]:
        return DriftCampaign.Run(Trials(rest, 24), Console.Out);
    case ["reading-fuzz", "--trials", string n, "--seed", string seed]:
        return ReadingFuzzCampaign.Run(
            int.Parse(n, CultureInfo.InvariantCulture),
            Console.Out,
            int.Parse(seed, CultureInfo.InvariantCulture)
        );
    case ["reading-fuzz", .. var rest]:
        return ReadingFuzzCampaign.Run(Trials(rest, 10_000), Console.Out);
    case ["group", .. var rest]:
        return GroupCampaign.Run(rest, Console.Out);
    case ["accounting", .. var rest]:
        return AccountCampaign.Run(rest, Console.Out);
    case ["pipeline", .. var rest]:
        return PipelineCampaign.Run(rest, Console.Out);
    case ["damage", .. var rest]:
        return DamageCampaign.Run(rest, Console.Out);
    case ["findings", .. var rest]:
        return FaultCampaign.Run(rest, Console.Out);
    case ["onsets", .. var rest]:
        return OnsetCampaign.Run(rest, Console.Out);
    case ["healthy", .. var rest]:
        return HealthyCampaign.Run(rest, Console.Out);
    default:
        Console.Error.WriteLine(
            "usage: campaigns orders [--trials N] [--seed S] [--from K] [--worst N] [--each] [--coarse] [--oracle] [--silent] | speeds "
                + "[--trials N] [--seed S] | group [--trials N] [--seed S] [--from K] [--each] | accounting [--trials N] [--seed S] "
                + "[--each] [--no-speeds] | compare [--trials N] | temperatures [--trials N [--seed S]] | survey [--trials N] | alignment "
                + "[--trials N [--seed S]] | drift [--trials N [--seed S]] | "
                + DamageOptions.Usage
                + " | "
                + HealthyCampaign.Usage
                + " | "
                + FaultCampaign.Usage
                + " | "
                + OnsetCampaign.Usage
                + " | hostile | reading-fuzz [--trials N [--seed S]] | "
                + PipelineCampaign.Usage
        );
        return 2;
}

static int Trials(string[] rest, int usual) => rest is ["--trials", string n] ? int.Parse(n, CultureInfo.InvariantCulture) : usual;
