using System.Xml.Linq;
using Microsoft.AspNetCore.DataProtection.Repositories;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Data protection keys of one run, in memory only: nothing is left on the disk, and tokens of earlier runs are refused.</summary>
internal sealed class RunKeys : IXmlRepository
{
    private readonly List<XElement> _keys = [];

    public IReadOnlyCollection<XElement> GetAllElements()
    {
        lock (_keys)
        {
            return [.. _keys];
        }
    }

    public void StoreElement(XElement element, string friendlyName)
    {
        lock (_keys)
        {
            _keys.Add(element);
        }
    }
}
